import { shown } from './message.ts';
import { lookUp, type Names } from './names.ts';
import { type IsAbove, isEarlier, isEarlierOrHere, type Resolving } from './resolving.ts';
import type { StepDraft } from './step-draft.ts';
import { type Subject, report } from './subject.ts';
import { itemsOf, type Path, valueOf } from './tree.ts';

/** The parts for which a step may be named: a mix in `in-pot-life-of` and `cure.of`, a cure in `after-stage`. */
type NamedPart = 'mix' | 'cure';

/**
 * Whether a step of the file has a part, be it one with faults, which the draft leaves out.
 * @param step its index, from 0
 */
export const hasPart = (subject: Subject, step: number, part: NamedPart): boolean =>
  subject.steps[step]?.[part] !== undefined || valueOf(itemsOf(subject.tree, 'steps')[step], part) !== undefined;

/** Looks up steps that are named for a part, and reports those that are not there or do not have it; `at` leads from the step to the list. */
export const checkStepsWith = (
  { subject, names, path }: Resolving,
  part: NamedPart,
  ids: readonly string[],
  at: Path,
  isAbove: IsAbove,
): void => {
  for (const [number, id] of ids.entries()) {
    const place = [...path, ...at, number];
    const found = lookUp(subject, names.steps, id, place, `step with a ${part}`, isAbove);
    if (found === undefined || hasPart(subject, found.step, part)) continue;
    const near = subject.steps.find((step) => step[part] !== undefined)?.step;
    const todo = near === undefined ? `name a step with a ${part}` : `name a step with a ${part}, such as ${near}`;
    report(subject, place, 'reference-kind', `the step ${shown(id)} has no ${part}`, todo);
  }
};

/** Reports a stage that one of these cures does not have. */
export const checkStage = ({ subject }: Resolving, cures: readonly StepDraft[], stage: string, at: Path): void => {
  if (cures.length === 0) return;
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

/** Looks up the steps and loose items that a step itself names. Its parts look up what they name. */
export const checkStepNames = (resolving: Resolving): void => {
  const { subject, names, index, draft, path } = resolving;
  checkStepsWith(resolving, 'mix', draft.inPotLifeOf, ['in-pot-life-of'], isEarlier(index));
  const { afterStage, backTo, noLaterThan } = draft;
  for (const [number, id] of noLaterThan?.after.entries() ?? [])
    lookUp(subject, names.steps, id, [...path, 'no-later-than', 'after', number], 'step', isEarlier(index));
  if (afterStage !== undefined) {
    checkStepsWith(resolving, 'cure', afterStage.cures, ['after-stage', 'cure'], isEarlier(index));
    const cures = stepsNamed(subject, names, afterStage.cures);
    checkStage(resolving, cures, afterStage.stage, [...path, 'after-stage', 'stage']);
  }
  const isAbove = isEarlierOrHere(index);
  if (backTo !== undefined) lookUp(subject, names.steps, backTo, [...path, 'back-to'], 'step', isAbove);
  // An item that this file does not leave may have been left by another procedure.
  for (const [number, id] of draft.closes.entries())
    if (names.loose.named.has(id)) lookUp(subject, names.loose, id, [...path, 'closes', number], 'loose item', isAbove);
};
