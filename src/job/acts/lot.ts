import { err, ok, usage, type Fault } from '../../fault/fault.ts';
import { unknownId } from '../../fault/unknown.ts';
import { stepOf } from '../../procedure/plan.ts';
import type { EntryOf } from '../entry.ts';
import type { Batch, JobState, LotNamed } from '../state.ts';
import type { LotNow } from '../surroundings.ts';
import { untakenSteps } from '../untaken.ts';
import { stampOf } from '../draft.ts';
import { namedLotTrouble } from '../refusals/lots.ts';
import { correctsItem, type Correctable } from './correctable.ts';
import { takeUnless, type Act, type Ask } from './act.ts';

const materialsOf = ({ job }: Pick<Ask, 'job'>): readonly string[] => [
  ...new Set([
    ...job.plan.gather.materials.map((need): string => need.material),
    ...job.plan.steps.flatMap((step) => [...(step.mix ? [step.mix.material] : []), ...step.materials]),
  ]),
];

const partsOf = ({ job }: Pick<Ask, 'job'>, material: string): readonly string[] =>
  job.plan.steps.flatMap((step) =>
    step.mix?.material === material ? step.mix.ratio.map((one): string => one.part) : [],
  );

type LotData = EntryOf<'lot'>['data'];

const lotOf = (data: LotData): Omit<LotNamed, keyof ReturnType<typeof stampOf>> => {
  const { material, number, part, made, 'use-by': useBy, 'stock-made': stockMade, 'stock-use-by': stockUseBy } = data;
  return {
    material,
    number,
    ...(part === undefined ? {} : { part }),
    ...(made === undefined ? {} : { made }),
    ...(useBy === undefined ? {} : { useBy }),
    ...(stockMade === undefined ? {} : { stockMade }),
    ...(stockUseBy === undefined ? {} : { stockUseBy }),
  };
};

/** The days of the stock that the label contradicts by an earlier one. */
const earlierThanStock = (data: LotData, stock: LotNow | undefined): Pick<LotData, 'stock-made' | 'stock-use-by'> => {
  const { made, 'use-by': useBy } = data;
  return {
    ...(made !== undefined && stock?.made !== undefined && made < stock.made ? { 'stock-made': stock.made } : {}),
    ...(useBy !== undefined && stock?.useBy !== undefined && useBy < stock.useBy
      ? { 'stock-use-by': stock.useBy }
      : {}),
  };
};

/** A label that is better than the stock's own is not taken. Either the label or the stock was read wrongly. */
const betterThanStock = (data: LotData, stock: LotNow | undefined): Fault | undefined => {
  const { material, number, made, 'use-by': useBy } = data;
  const until = stock?.extended?.to ?? stock?.useBy;
  if (made !== undefined && useBy !== undefined && useBy < made)
    return usage(
      'value-unreadable',
      `use by ${useBy}, made ${made}: a lot does not run out before it is made`,
      'read the label again',
    );
  if (useBy !== undefined && until !== undefined && useBy > until)
    return usage(
      'use-by-later',
      `the stock has ${material} ${number} good until ${until}, not ${useBy}`,
      `read the label again; if the maker extended it: dryfit stock extend ${material} ${number} to=${useBy} because=… evidence=FILE`,
    );
  if (made !== undefined && stock?.made !== undefined && made > stock.made)
    return usage(
      'made-later',
      `the stock has ${material} ${number} made ${stock.made}, not ${made}`,
      'read the label again; if the stock is wrong, put it right in build.yaml (stock)',
    );
  return undefined;
};

const toldOfStock = (was: Pick<LotData, 'stock-made' | 'stock-use-by'>, data: LotData): readonly string[] => [
  ...(was['stock-use-by'] === undefined
    ? []
    : [`the stock says use by ${was['stock-use-by']}; the earlier day counts: ${data['use-by'] ?? ''}`]),
  ...(was['stock-made'] === undefined
    ? []
    : [`the stock says made ${was['stock-made']}; the earlier day counts: ${data.made ?? ''}`]),
];
const namedFault = (ask: Pick<Ask, 'job'>, material: string, part: string | undefined): Fault | undefined => {
  const materials = materialsOf(ask);
  if (!materials.includes(material)) return unknownId(`no material '${material}'`, material, materials);
  const parts = partsOf(ask, material);
  return part !== undefined && parts.length > 0 && !parts.includes(part)
    ? unknownId(`no part of the ratio '${part}'`, part, [...new Set(parts)])
    : undefined;
};

/** The lots that had been named when a batch was mixed, as they are named now. */
const namedBefore = <L extends LotNamed>(lots: readonly L[], { log }: JobState, { entry }: Batch): readonly L[] => {
  const mixed = log.findIndex((one) => one.entry === entry);
  return lots.filter((lot) => log.findIndex((one) => one.entry === lot.entry) < mixed);
};

/** Every batch has the lots that were named when it was mixed, as they are named now. */
const putLots: Correctable<'lot'>['put'] = (draft, { target, entry }, job) => {
  const lot = draft.lots.find((one) => one.entry === target);
  const { 'stock-made': stockMade, 'stock-use-by': stockUseBy } = entry.data;
  if (lot) Object.assign(lot, { stockMade, stockUseBy });
  if (lot && stockMade === undefined) delete lot.stockMade;
  if (lot && stockUseBy === undefined) delete lot.stockUseBy;
  for (const batch of draft.batches) {
    const mix = batch.mixedTo ?? stepOf(job.plan, batch.step)?.mix;
    if (!mix) continue;
    const named = namedBefore(draft.lots, job, batch as Batch).toReversed();
    batch.lots = Object.fromEntries(
      mix.ratio.flatMap(({ part }) => {
        const lot = named.find((one) => one.material === mix.material && (one.part === undefined || one.part === part));
        return lot ? [[part, lot.number]] : [];
      }),
    );
  }
};

/** Names the lot used from now on: a mix uses the lot that was named last. */
export const lotAct: Act<'lot'> = {
  decide: (ask) => {
    const { material, part } = ask.data;
    const stock = ask.moment.around.lot(material, ask.data.number);
    const fault = namedFault(ask, material, part) ?? betterThanStock(ask.data, stock);
    if (fault) return err(fault);
    const was = earlierThanStock(ask.data, stock);
    const named = { entry: '', at: ask.command.at, when: ask.when, by: ask.command.by, ...lotOf(ask.data) };
    return takeUnless(ask, undefined, [], {
      data: was,
      told: [
        ...toldOfStock(was, ask.data),
        ...namedLotTrouble(ask.job, named, ask.moment).map(({ what }) => `${what}: its use will be refused`),
      ],
    });
  },
  evolve: (draft, entry, job) => {
    const { material } = entry.data;
    draft.lots.push({ ...stampOf(entry), ...lotOf(entry.data) });
    for (const { step } of untakenSteps(job, material))
      draft.taken.push({ ...stampOf(entry), step, material, lot: entry.id });
  },
  words: (data) => `lot ${data.number}`,
  correct: correctsItem<'lot', LotNamed>(
    {
      items: ({ lots }) => lots,
      names: { number: 'number', part: 'part', made: 'made', 'use-by': 'useBy' },
      steps: (lot, job) => [
        ...job.batches.filter((batch) => namedBefore(job.lots, job, batch).includes(lot)).map(({ step }) => step),
        ...job.taken.filter((one) => one.lot === lot.entry).map(({ step }) => step),
      ],
    },
    {
      bare: () => 'number',
      otherwise: 'name the lot of the other material, and correct this one to the lot that was used',
      judge: (ask, { target, now }) => {
        const lot = ask.job.lots.find(({ entry }) => entry === target);
        if (!lot) return ok({});
        const { number = '', part, made, 'use-by': useBy } = now;
        const data: LotData = {
          material: lot.material,
          number,
          ...(part === undefined ? {} : { part }),
          ...(made === undefined ? {} : { made }),
          ...(useBy === undefined ? {} : { 'use-by': useBy }),
        };
        const stock = ask.moment.around.lot(lot.material, number);
        const fault = namedFault(ask, lot.material, part) ?? betterThanStock(data, stock);
        if (fault) return err(fault);
        const was = earlierThanStock(data, stock);
        const { entry, at, when, by } = lot;
        const named = { entry, at, when, by, ...lotOf(data) };
        const troubles = namedLotTrouble(ask.job, named, ask.moment).map(({ what }) => what);
        return ok({ data: was, told: [...toldOfStock(was, data), ...troubles] });
      },
      after: putLots,
    },
  ),
};
