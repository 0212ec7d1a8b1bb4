import { err } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import type { LotNamed } from '../state.ts';
import { stampOf } from '../draft.ts';
import { namedLotTrouble } from '../refusals/lots.ts';
import { takeUnless, type Act, type Ask } from './act.ts';

const materialsOf = ({ job }: Pick<Ask, 'job'>): readonly string[] => [
  ...new Set([
    ...job.plan.gather.materials.map((need): string => need.material),
    ...job.plan.steps.flatMap((step) => (step.mix ? [step.mix.material] : [])),
  ]),
];

const partsOf = ({ job }: Pick<Ask, 'job'>, material: string): readonly string[] =>
  job.plan.steps.flatMap((step) =>
    step.mix?.material === material ? step.mix.ratio.map((one): string => one.part) : [],
  );

type LotData = Ask<'lot'>['data'];

const lotOf = (data: LotData): Omit<LotNamed, keyof ReturnType<typeof stampOf>> => {
  const { material, number, part, made, 'use-by': useBy } = data;
  return {
    material,
    number,
    ...(part === undefined ? {} : { part }),
    ...(made === undefined ? {} : { made }),
    ...(useBy === undefined ? {} : { useBy }),
  };
};

/** Names the lot used from now on: a mix uses the lot that was named last. */
export const lotAct: Act<'lot'> = {
  decide: (ask) => {
    const { material, part } = ask.data;
    const materials = materialsOf(ask);
    if (!materials.includes(material)) return err(unknownId(`no material '${material}'`, material, materials));
    const parts = partsOf(ask, material);
    if (part !== undefined && parts.length > 0 && !parts.includes(part))
      return err(unknownId(`no part of the ratio '${part}'`, part, [...new Set(parts)]));
    const named = { entry: '', at: ask.command.at, when: ask.when, by: ask.command.by, ...lotOf(ask.data) };
    return takeUnless(ask, undefined, [], {
      told: namedLotTrouble(ask.job, named, ask.moment).map(({ what }) => `${what}: a mix is refused`),
    });
  },
  evolve: (draft, entry) => void draft.lots.push({ ...stampOf(entry), ...lotOf(entry.data) }),
  words: (data) => `lot ${data.number}`,
};
