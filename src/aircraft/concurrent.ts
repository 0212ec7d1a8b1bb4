import { refusal, type Fault } from '../fault/fault.ts';
import { writerOfEntry, type Entry } from '../job/entry.ts';
import { inspectionHead } from '../job/hold.ts';
import { commandOfEntry } from '../job/parse.ts';
import { isJsonObject, parseCanonicalLine, type JsonObject } from '../proof/canonical.ts';
import { decideCommand } from './decide.ts';
import { introductionFlaw } from './introductions.ts';
import { bringsKey, endOf } from './keys.ts';
import type { Library } from './library.ts';
import { jobOf, type BuildState } from './state.ts';
import { own } from '../fault/own.ts';

/**
 * True where an entry comes after lines that its writer had not seen. Only then may the rules decide otherwise than they did for the
 * writer.
 */
export const isConcurrent = (state: BuildState, entry: Entry): boolean =>
  entry.seen !== undefined &&
  Object.entries(state.heads).some(
    ([writer, hash]) => writer !== writerOfEntry(entry) && own(entry.seen ?? {}, writer) !== hash,
  );

/** The head (hash of the last entry that touched the inspected work) for which somebody signed a look. */
const headLookedAt = (entry: Entry): string | undefined => {
  const answer = 'answer' in entry.data ? entry.data.answer : undefined;
  const read = answer === undefined ? undefined : parseCanonicalLine(answer.replace(/\r?\n$/, ''));
  const head = read?.ok && isJsonObject(read.value) ? read.value['head'] : undefined;
  return typeof head === 'string' ? head : undefined;
};

/** A look is refused where somebody elsewhere changed the work at the same time: the inspector saw other work than is here. */
const changedBefore = (state: BuildState, entry: Entry): Fault | undefined => {
  const job = jobOf(state, entry.job);
  const hold = job?.plan.steps.find((step) => step.hold && 'step' in entry.data && step.step === entry.data.step);
  const head = hold && headLookedAt(entry);
  return job && hold && head !== undefined && head !== inspectionHead(job, hold)
    ? refusal('hold-closed', `what ${hold.step} inspects was changed before this look`, 'look at it again')
    : undefined;
};

/** The signer of an entry whose key somebody ended elsewhere at the same time, and the entry that ended the key. */
export const endedSigner = (
  state: BuildState,
  entry: Entry,
): { readonly by: string; readonly ended: string } | undefined => {
  const people = [entry.by, ...entry.also];
  const keys = [entry.key, ...(entry.alsoKeys ?? [])];
  for (const [index, by] of people.entries()) {
    const ended = endOf(state, by, keys[index] ?? '');
    if (ended !== undefined) return { by, ended };
  }
  return undefined;
};

/** An entry signed with a key that was ended meanwhile may be the owner's or a thief's, so a person must settle it. */
const endedBefore = (state: BuildState, entry: Entry): Fault | undefined => {
  const signer = endedSigner(state, entry);
  if (signer === undefined) return undefined;
  const what = `it is signed with a key of ${signer.by} that ${signer.ended} ended at the same time`;
  return refusal('power', what, `${signer.by} says whether it is theirs`);
};

/** Refuses a key where its introducer has meanwhile lost the power to introduce it, or where somebody else already has the same key. */
const introducedBefore = (state: BuildState, entry: Entry): Fault | undefined => {
  if (!bringsKey(entry.type)) return undefined;
  const also = entry.also.map((by, index) => ({ by, key: entry.alsoKeys?.[index] ?? '', sig: '' }));
  const { type, by, key = '' } = entry;
  const flaw = introductionFlaw(state, { type, by, key, data: entry.data as JsonObject, also });
  return flaw === undefined ? undefined : refusal('power', `${by} ${flaw}`, 'somebody known says whether it stands');
};

/** Why the rules refuse an entry here although its writer could not know; `undefined` where they accept it. */
export const refusedHere = (state: BuildState, entry: Entry, library: Library): Fault | undefined => {
  if (!isConcurrent(state, entry)) return undefined;
  const ended = endedBefore(state, entry) ?? introducedBefore(state, entry);
  if (ended !== undefined) return ended;
  const command = commandOfEntry(entry);
  const decided = command && decideCommand(state, command, library);
  return decided?.ok === false ? decided.fault : changedBefore(state, entry);
};
