import { lookUp, type Named, type Names } from './names.ts';
import { listed, shown } from './message.ts';
import type { StepDraft } from './schema/step.ts';
import { type Subject, report } from './subject.ts';
import { itemsOf, type Path } from './tree.ts';
import type { Unit } from '../quantity/units.ts';

/** One step while what it names is looked up. */
export interface Resolving {
  readonly subject: Subject;
  readonly names: Names;
  /** Of the step. */
  readonly index: number;
  readonly draft: StepDraft;
  readonly path: Path;
  /** Units of the results above, where they are known. */
  readonly resultUnits: Map<string, Unit>;
}

export const isEarlier = (index: number) => (found: Named) => found.step < index;
export const isEarlierOrHere = (index: number) => (found: Named) => found.step <= index;

type PartKey = 'mix' | 'cure';

/** Steps that are named for a part they have: `in-pot-life-of`, `cure.of`, `after-stage`. */
const checkPart = (
  { subject, names, path }: Resolving,
  ids: readonly string[],
  at: Path,
  part: PartKey,
  isAbove: (found: Named) => boolean,
): void => {
  for (const [number, id] of ids.entries()) {
    const place = [...path, ...at, number];
    const found = lookUp(subject, names.steps, id, place, `step with a ${part}`, isAbove);
    if (found === undefined || hasPart(subject, found, part)) continue;
    const near = subject.steps.find((step) => step[part] !== undefined)?.step;
    const todo = near === undefined ? `name a step with a ${part}` : `name a step with a ${part}, such as ${near}`;
    report(subject, place, 'reference-kind', `the step ${shown(id)} has no ${part}`, todo);
  }
};

/** The part itself may be faulty and missing from the draft; then it is there all the same. */
const hasPart = (subject: Subject, { step }: Named, part: PartKey): boolean =>
  subject.steps[step]?.[part] !== undefined || rawKeys(subject, step).includes(part);

/** A cure that cannot be read may be the one that is meant. */
const hasFaultyCure = (subject: Subject): boolean =>
  subject.steps.some(({ cure }, index) => cure === undefined && rawKeys(subject, index).includes('cure'));

const rawKeys = (subject: Subject, step: number): readonly string[] => {
  const node = itemsOf(subject.tree, 'steps')[step];
  return node?.kind === 'map' ? node.entries.map(({ key }) => key) : [];
};

const checkStage = ({ subject }: Resolving, cures: readonly StepDraft[], stage: string | undefined, at: Path): void => {
  if (stage === undefined || cures.length === 0) return;
  const stages = cures.flatMap(({ cure }) => cure?.stages.map((one) => one.stage) ?? []);
  if (cures.every(({ cure }) => cure?.stages.some((one) => one.stage === stage) ?? true)) return;
  report(
    subject,
    at,
    'unknown-stage',
    `no stage ${shown(stage)} is given there`,
    `name one of ${[...new Set(stages)].join(', ')}`,
  );
};

const stepsNamed = (subject: Subject, names: Names, ids: readonly string[]): readonly StepDraft[] =>
  ids.flatMap((id) => subject.steps[names.steps.named.get(id)?.step ?? -1] ?? []);

/** Mixes, cures and stages that a step names. */
export const checkGlue = (resolving: Resolving): void => {
  const { subject, names, index, draft, path } = resolving;
  checkPart(resolving, draft.inPotLifeOf, ['in-pot-life-of'], 'mix', isEarlier(index));
  checkPart(resolving, draft.cure?.of ?? [], ['cure', 'of'], 'mix', isEarlierOrHere(index));
  checkPart(resolving, draft.break?.of ?? [], ['break', 'of'], 'mix', isEarlierOrHere(index));
  const { afterStage } = draft;
  if (afterStage !== undefined) {
    checkPart(resolving, afterStage.cures, ['after-stage', 'cure'], 'cure', isEarlier(index));
    const cures = stepsNamed(subject, names, afterStage.cures);
    checkStage(resolving, cures, afterStage.stage, [...path, 'after-stage', 'stage']);
  }
  if (draft.break?.notBefore !== undefined) {
    const { of, notBefore } = draft.break;
    const cures = subject.steps.filter(({ cure }) => cure?.of.some((mix) => of.includes(mix)) ?? false);
    const at = [...path, 'break', 'not-before'];
    if (cures.length > 0 || hasFaultyCure(subject)) checkStage(resolving, cures, notBefore, at);
    else {
      const what = `no cure of ${listed(of, 'and')} gives the stage ${shown(notBefore)}`;
      report(subject, at, 'unknown-stage', what, 'add the cure, or take not-before: out');
    }
  }
};

/** Steps and loose items that a step names. */
export const checkSteps = ({ subject, names, index, draft, path }: Resolving): void => {
  const isAbove = isEarlierOrHere(index);
  if (draft.backTo !== undefined) lookUp(subject, names.steps, draft.backTo, [...path, 'back-to'], 'step', isAbove);
  for (const [number, id] of (draft.hold?.of ?? []).entries())
    lookUp(subject, names.steps, id, [...path, 'hold', 'of', number], 'step', isAbove);
  // Another procedure may have left the item; only one of this file's own can stand too far down.
  for (const [number, id] of draft.closes.entries())
    if (names.loose.named.has(id)) lookUp(subject, names.loose, id, [...path, 'closes', number], 'loose item', isAbove);
};
