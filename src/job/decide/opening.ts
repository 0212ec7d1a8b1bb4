import { refusal, type Refusal } from '../../fault/fault.ts';
import { limitsNow } from '../values.ts';
import { decide } from '../../quantity/decision.ts';
import { minus, parseQuantity, printQuantity, type Quantity } from '../../quantity/quantity.ts';
import { parseDay, endOfDay } from '../../quantity/time.ts';
import { findUnit } from '../../quantity/units.ts';
import { calculate } from '../../trade/calculations.ts';
import type { Mix, Step } from '../../procedure/model.ts';
import { stageOfCure } from '../cure.ts';
import { airAt } from '../temperatures.ts';
import { contradictionText, type Contradiction } from '../contradiction.ts';
import { listOf } from '../entry.ts';
import { coverers, provedBy } from '../ahead.ts';
import { openBefore } from '../gate.ts';
import { potLifeNow } from '../potlife.ts';
import { printInstant } from '../../quantity/time.ts';
import { stepStateOf } from '../where.ts';
import type { LotNow } from '../surroundings.ts';
import type { LotNamed } from '../state.ts';
import { clockRefusals, orderRefusals, type Ask } from './ask.ts';
import { own } from '../../fault/own.ts';

/** Never with the glue already on: such a step was decided at its mix. */
export const isGlued = (step: Step): boolean => step.inPotLifeOf.length > 0;

const proofRefusals = (ask: Ask, step: Step): readonly Refusal[] =>
  step.sets
    .filter((feature) => provedBy(ask.job, step, feature, ask.around) === undefined)
    .map((feature) =>
      refusal(
        'proof-missing',
        `${step.step} makes ${feature} permanent, and nothing has proved it`,
        `finish a step that proves ${feature}, or depart from it first with its reason (depart proof-missing)`,
      ),
    );

const coverRefusals = (ask: Ask, step: Step): readonly Refusal[] =>
  coverers(ask.job, step, ask.around).map(({ area, step: reacher, job }) =>
    refusal(
      'still-needed',
      `${step.step} covers ${area}, which ${reacher}${job === undefined ? '' : ` of ${job}`} must still reach`,
      `do ${reacher} first`,
    ),
  );

export const gateRefusals = (ask: Ask, step: Step): readonly Refusal[] => {
  if (step.gate === undefined) return [];
  const open = openBefore(ask.job, step, step.gate, ask.around);
  return open.length === 0
    ? []
    : [
        refusal(
          'gate-open',
          `the gate ${step.gate} has ${open.length} open: ${open.map((one) => one.what).join('; ')}`,
          'close what is open, or depart from it with its reason (depart gate-open)',
        ),
      ];
};

/** `people: N` wants N−1 names, given here or at a mix, begin or finish since the last interruption. */
export const helperRefusals = (ask: Ask, steps: readonly Step[], fallback: number): readonly Refusal[] => {
  const needed = Math.max(...steps.map((step) => step.people ?? fallback), 1) - 1;
  const named = new Set([...ask.job.helpers, ...listOf(ask.data, 'with')]);
  named.delete(ask.command.by);
  return named.size >= needed
    ? []
    : [
        refusal(
          'helper-missing',
          `${steps.map((step) => step.step).join(', ')} needs ${needed} to lend a hand, ${named.size} named`,
          'call them first, then name them (with)',
        ),
      ];
};

const isPast = (day: string, ask: Ask): boolean => {
  const parsed = parseDay(day);
  return parsed.ok && endOfDay(parsed.value, ask.offset) < ask.ms;
};

/** Whether an individual tool may be used now: in date, and not found dropped or wrong since its last check. */
export const toolRefusals = (
  ask: Ask,
  kind: string | undefined,
  individual: string | undefined,
): readonly Refusal[] => {
  if (kind === undefined) return [];
  const wanted = ask.job.plan.gather.tools.find((need) => need.tool === kind)?.inDate === true;
  const id = individual ?? own(ask.job.tools, kind);
  const tool = id === undefined ? undefined : own(ask.around.tools, id);
  const refuse = (what: string, todo: string): readonly Refusal[] => [refusal('tool-out-of-date', what, todo)];
  if (!tool) return wanted ? refuse(`no individual ${kind} is named`, `name one in date (use ${kind})`) : [];
  const found = tool.found.at(-1)?.what;
  if (found === 'dropped' || found === 'wrong')
    return refuse(`${tool.tool} was found ${found}`, `have it checked, or use another ${kind}`);
  if (tool.inDateUntil === undefined)
    return wanted
      ? refuse(`${tool.tool} has no date up to which it is good`, `use another ${kind}, or enter its check`)
      : [];
  return isPast(tool.inDateUntil, ask)
    ? refuse(`${tool.tool} was in date until ${tool.inDateUntil}`, `have it checked, or use another ${kind}`)
    : [];
};

const toolsOfStep = (ask: Ask, step: Step): readonly Refusal[] =>
  [...new Set([...step.readings.map((reading) => reading.tool), step.tighten?.tool])].flatMap((kind) =>
    toolRefusals(ask, kind, undefined),
  );

interface LotUsed {
  readonly part: string;
  readonly number?: string;
  readonly useBy?: string;
  readonly quarantine?: string;
}

/** The last good day of a lot: an extension on evidence stands above the label; else the sooner of label and stock. */
const lastGoodDay = (lot: LotNamed, stock: LotNow | undefined): string | undefined => {
  if (stock?.extended) return stock.goodUntil;
  return [lot.useBy, stock?.goodUntil].filter((day) => day !== undefined).toSorted()[0];
};

const lotUsed = (ask: Ask, part: string, lot: LotNamed | undefined): LotUsed => {
  if (!lot) return { part };
  const stock = ask.around.lot(lot.material, lot.number);
  const useBy = lastGoodDay(lot, stock);
  return {
    part,
    number: lot.number,
    ...(useBy === undefined ? {} : { useBy }),
    ...(stock?.quarantine === undefined ? {} : { quarantine: stock.quarantine }),
  };
};

/** The lots that a mix would use now: for each part the lot last named in this job, for it or for the whole kit. */
export const lotsFor = (ask: Ask, mix: Mix): readonly LotUsed[] =>
  mix.ratio.map(({ part }) =>
    lotUsed(
      ask,
      part,
      ask.job.lots.findLast((one) => one.material === mix.material && (one.part === undefined || one.part === part)),
    ),
  );

/** Why a lot may not be used now, and the ways on; nothing where it may. */
const lotTrouble = (ask: Ask, material: string, lot: LotUsed): readonly Refusal[] => {
  const { number = '', useBy, quarantine } = lot;
  const or = ask.job.plan.strict ? '' : ', or depart from it with its reason (depart lot-expired)';
  if (quarantine !== undefined)
    return [
      refusal(
        'lot-expired',
        `lot ${number} of ${material} is in quarantine: ${quarantine}`,
        `use another lot, or take it out once that is settled (dryfit stock restore ${material} ${number})${or}`,
      ),
    ];
  return useBy !== undefined && isPast(useBy, ask)
    ? [
        refusal(
          'lot-expired',
          `lot ${number} of ${material} was good until ${useBy}`,
          `use another lot, or extend it on the maker's own word (dryfit stock extend ${material} ${number})${or}`,
        ),
      ]
    : [];
};

/** The same for a lot that is only named: nothing is refused yet. */
export const namedLotTrouble = (ask: Ask, lot: LotNamed): readonly Refusal[] =>
  lotTrouble(ask, lot.material, lotUsed(ask, lot.part ?? '', lot));

export const lotRefusals = (ask: Ask, mix: Mix): readonly Refusal[] => {
  const need = ask.job.plan.gather.materials.find((one) => one.material === mix.material);
  return lotsFor(ask, mix).flatMap((lot) => {
    const { part, number, useBy } = lot;
    const named = `${mix.material}${mix.ratio.length > 1 ? ` (${part})` : ''}`;
    if ((need?.lot === true || need?.inDate === true) && number === undefined)
      return [refusal('lot-missing', `no lot is named for ${named}`, `name it (lot ${mix.material})`)];
    if (need?.inDate === true && useBy === undefined)
      return [
        refusal(
          'lot-missing',
          `lot ${number ?? ''} of ${named} has no use-by`,
          'name the lot with its use-by, or enter that in the stock',
        ),
      ];
    return lotTrouble(ask, mix.material, lot);
  });
};

/** `after … same-lot`: the lots used now must be those of the earlier procedure. */
export const sameLotRefusals = (ask: Ask, mix: Mix): readonly Refusal[] =>
  ask.job.plan.after
    .filter((after) => after.sameLot)
    .flatMap((after) => {
      const used = ask.around.lotsUsedIn(after.procedure, mix.material);
      return lotsFor(ask, mix)
        .filter((lot) => lot.number !== undefined && used.length > 0 && !used.includes(lot.number))
        .map((lot) =>
          refusal(
            'earlier-procedure',
            `lot ${lot.number ?? ''} of ${mix.material} is not one that ${after.procedure} used (${used.join(', ')})`,
            `use the same lot, or do ${after.procedure} with this one`,
          ),
        );
    });

interface ShopNow {
  readonly temperature?: Quantity;
  readonly surface?: Quantity;
  readonly humidity?: Quantity;
}

const readAs = (text: string | undefined, unit: string): Quantity | undefined => {
  const named = findUnit(unit);
  const parsed = text === undefined ? undefined : parseQuantity(text, named ? { unit: named } : {});
  return parsed?.ok ? parsed.value : undefined;
};

/** What is known of the shop now: the latest of what was entered for the job, for the place, and with the mix itself. */
const shopNow = (ask: Ask, step: Step): ShopNow => {
  const place = airAt(ask.around, step.place ?? '', ask.ms);
  const typed = typeof ask.data['temperature'] === 'string' ? ask.data['temperature'] : undefined;
  const temperature = readAs(typed ?? place?.text, '°C');
  const surface = readAs(ask.job.shop.findLast((shop) => shop.surface !== undefined)?.surface, '°C');
  const humidity = readAs(ask.job.shop.findLast((shop) => shop.humidity !== undefined)?.humidity, '%');
  return {
    ...(temperature ? { temperature } : {}),
    ...(surface ? { surface } : {}),
    ...(humidity ? { humidity } : {}),
  };
};

const overDewPoint = (shop: ShopNow): Quantity | undefined => {
  const surface = shop.surface ?? shop.temperature;
  if (!surface || !shop.temperature || !shop.humidity) return undefined;
  const done = calculate('dew-point', { temperature: shop.temperature, humidity: shop.humidity });
  const dew = done.ok ? done.value.results[0]?.quantity : undefined;
  return dew && minus(surface, dew);
};

export const shopRefusals = (ask: Ask, step: Step): readonly Refusal[] => {
  const need = ask.job.plan.gather.shop;
  if (!need) return [];
  const shop = shopNow(ask, step);
  const pairs = [
    ['temperature', shop.temperature, need.temperature],
    ['surface', shop.surface, need.temperature],
    ['humidity', shop.humidity, need.humidity],
    ['surface above the dew point', overDewPoint(shop), need.aboveDewPoint],
  ] as const;
  return pairs.flatMap(([name, value, limits]) => {
    const fixed = limits && limitsNow(ask.job, limits);
    return value && fixed && decide(value, fixed) === 'outside'
      ? [
          refusal(
            'shop-outside',
            `shop ${name} is ${printQuantity(value)}, ${fixed.text} is wanted`,
            'bring the shop into its range and enter it again (shop, temperature)',
          ),
        ]
      : [];
  });
};

/** Nothing is finished, and nothing made permanent, on what contradicts what was done elsewhere: in this job, or in one that the steps rest on. */
export const contradictionRefusals = (ask: Ask, ...steps: readonly Step[]): readonly Refusal[] => {
  const refuse = ({ entry }: Contradiction, what: string): Refusal =>
    refusal('contradiction', what, `settle it: settle ${entry.id} keep=yes, or keep=no`);
  return [
    ...ask.around.contradictions.map((one) => refuse(one, contradictionText(one))),
    ...steps
      .flatMap((step) => ask.around.contradictionsUnder(step))
      .map(({ contradiction, why }) => refuse(contradiction, `${why}; ${contradictionText(contradiction)}`)),
  ];
};

/** Rule 2, for a permanent step: decided before anything is committed, at its mix or its opening, whichever is first. */
export const permanentRefusals = (ask: Ask, step: Step): readonly Refusal[] => [
  ...proofRefusals(ask, step),
  ...coverRefusals(ask, step),
  ...gateRefusals(ask, step),
  ...toolsOfStep(ask, step),
  ...contradictionRefusals(ask, step),
];

export const stageRefusals = (ask: Ask, step: Step): readonly Refusal[] => {
  if (!step.afterStage) return [];
  const { cures, stage } = step.afterStage;
  const waiting = cures.find((cure) => stageOfCure(ask.job, cure, stage, ask.around, ask.ms)?.reached !== true);
  return waiting === undefined
    ? []
    : [
        ...clockRefusals(ask),
        refusal(
          'cure-not-reached',
          `${step.step} waits for ${stage} of ${waiting}, which is not reached`,
          'wait, and log the temperature',
        ),
      ];
};

export const potLifeRefusals = (ask: Ask, step: Step): readonly Refusal[] => {
  const life = potLifeNow(ask.job, step.inPotLifeOf, ask.around, ask.ms);
  if (!life) return [];
  const over = ask.ms > life.ends;
  return [
    ...clockRefusals(ask),
    ...(over
      ? [
          refusal(
            'pot-life-over',
            `the pot life of ${life.batch} ended at ${printInstant(life.ends, ask.offset)}`,
            `discard ${life.batch} and mix again, or depart from it with its reason (depart pot-life-over)`,
          ),
        ]
      : []),
  ];
};

/** What refuses the opening of a step; whatever entry comes first on it opens it. */
export const openingRefusals = (ask: Ask, step: Step): readonly Refusal[] => {
  const order = orderRefusals(ask, step);
  if (stepStateOf(ask.job, step.step).begun) return order;
  return [
    ...order,
    ...stageRefusals(ask, step),
    ...potLifeRefusals(ask, step),
    ...(step.permanent && !isGlued(step)
      ? [...permanentRefusals(ask, step), ...(step.mix ? [] : helperRefusals(ask, [step], ask.job.plan.people))]
      : []),
  ];
};
