import * as z from 'zod/mini';
import { groupField, names, plain } from '../compare/sheet.ts';
import { listed, shown } from '../message.ts';
import type { Break } from '../model.ts';
import { isEarlierOrHere, type Resolving } from '../resolving.ts';
import { given, textSchema, textOrList } from '../schema/leaves.ts';
import { checkStage, checkStepsWith, hasPart } from '../step-names.ts';
import { report } from '../subject.ts';
import type { WrittenPart } from './part.ts';

/** Requires a cure of the same mixes with the stage. Where a cure cannot be read, it may be the one that is meant. */
const checkNotBefore = ({ of, notBefore }: Break, resolving: Resolving): void => {
  if (notBefore === undefined) return;
  const { subject, path } = resolving;
  const at = [...path, 'break', 'not-before'];
  const cures = subject.steps.filter(({ cure }) => cure?.of.some((mix) => of.includes(mix)) ?? false);
  const isUnsure = subject.steps.some(({ cure }, step) => cure === undefined && hasPart(subject, step, 'cure'));
  if (cures.length > 0 || isUnsure) return checkStage(resolving, cures, notBefore, at);
  const what = `no cure of ${listed(of, 'and')} gives the stage ${shown(notBefore)}`;
  report(subject, at, 'unknown-stage', what, 'add the cure, or take not-before: out');
};

export const writtenBreak: WrittenPart<'break'> = {
  slot: 'break',
  key: 'break',
  about: 'The sample of a batch is broken here.',
  hints: {
    of: 'The mix step whose sample is broken.',
    'not-before': 'The stage that must be reached before.',
  },
  schema: z.pipe(
    z.strictObject({ of: textOrList, 'not-before': z.optional(textSchema) }),
    z.transform((raw): Break => given({ of: raw.of, notBefore: raw['not-before'] })),
  ),
  faultDepth: 1,
  resolve: (part, resolving) => {
    checkStepsWith(resolving, 'mix', part.of, ['break', 'of'], isEarlierOrHere(resolving.index));
    checkNotBefore(part, resolving);
    return part;
  },
  sheet: (part) => groupField({ of: names(part.of), 'not-before': plain(part.notBefore) }),
  rekey: (part, change) => ({ ...part, of: change.steps(part.of) }),
  isWork: true,
};
