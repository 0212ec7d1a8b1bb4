import type { Limits } from '../quantity/limits.ts';
import type { Reading, Result, ResultInput, Step } from './model.ts';
import { given } from './schema/leaves.ts';

/** Other ids for a step's own things, and for what it refers to. One id may come to mean several steps or loose items. */
export interface IdChange {
  readonly own: Readonly<Record<'step' | 'value' | 'item' | 'photo', (id: string) => string>>;
  readonly steps: (ids: readonly string[]) => readonly string[];
  readonly value: (id: string) => string;
  readonly items: (ids: readonly string[]) => readonly string[];
  readonly limits: (limits: Limits) => Limits;
}

const limitsWith = <T extends Limits | undefined>(limits: T, change: IdChange): T =>
  (limits === undefined ? limits : change.limits(limits)) as T;

const readingWith = (reading: Reading, change: IdChange): Reading => ({
  ...reading,
  reading: change.own.value(reading.reading),
  ...('limits' in reading ? { limits: limitsWith(reading.limits, change) } : {}),
});

const inputWith = (input: ResultInput, change: IdChange): ResultInput =>
  input.kind === 'id' ? { kind: 'id', id: change.value(input.id) } : input;

const resultWith = (result: Result, change: IdChange): Result =>
  given({
    ...result,
    result: change.own.value(result.result),
    from: Object.fromEntries(Object.entries(result.from).map(([name, input]) => [name, inputWith(input, change)])),
    limits: limitsWith(result.limits, change),
  });

type Tighten = NonNullable<Step['tighten']>;

const tightenWith = (tighten: Tighten, change: IdChange): Tighten =>
  given({
    ...tighten,
    torque: limitsWith(tighten.torque, change),
    fingerTight: limitsWith(tighten.fingerTight, change),
    past: limitsWith(tighten.past, change),
    drag: tighten.drag === undefined || tighten.drag === 'measured' ? tighten.drag : inputWith(tighten.drag, change),
  });

const one = (change: IdChange, id: string): string => change.steps([id])[0] ?? id;

/** A step whose ids, and every reference to others, are changed alike. */
export const withIds = (step: Step, change: IdChange): Step =>
  given({
    ...step,
    step: change.own.step(step.step),
    onlyIf: step.onlyIf && {
      reading: change.value(step.onlyIf.reading),
      is: change.limits(step.onlyIf.is),
    },
    inPotLifeOf: change.steps(step.inPotLifeOf),
    afterStage: step.afterStage && { ...step.afterStage, cures: change.steps(step.afterStage.cures) },
    backTo: step.backTo === undefined ? undefined : one(change, step.backTo),
    readings: step.readings.map((reading) => readingWith(reading, change)),
    results: step.results.map((result) => resultWith(result, change)),
    tighten: step.tighten && tightenWith(step.tighten, change),
    cure: step.cure && { ...step.cure, of: change.steps(step.cure.of) },
    break: step.break && { ...step.break, of: change.steps(step.break.of) },
    hold: step.hold && given({ ...step.hold, of: step.hold.of && change.steps(step.hold.of) }),
    loose: step.loose.map((loose) => ({ ...loose, item: change.own.item(loose.item) })),
    closes: change.items(step.closes),
    photos: step.photos.map((photo) => ({ ...photo, photo: change.own.photo(photo.photo) })),
  });
