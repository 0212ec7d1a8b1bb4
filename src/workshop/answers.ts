import { isLookVerb, type LookVerb } from '../job/verbs.ts';
import { carriedFault, type CarriedKind } from '../aircraft/carried.ts';
import { keysOf } from '../aircraft/keys.ts';
import type { BuildState } from '../aircraft/state.ts';
import { err, ok, refusalNamed, usage, type Fault, type Outcome } from '../fault/fault.ts';
import type { Data } from '../job/entry.ts';
import { inspectionHead } from '../job/hold.ts';
import type { JobState } from '../job/state.ts';
import type { Step } from '../procedure/model.ts';
import { stepOf } from '../procedure/plan.ts';
import { canonicalJson, flawOf, isJsonObject, sameData, type Json, type JsonObject } from '../proof/canonical.ts';
import { signerOf } from '../proof/signers.ts';
import { namespaces } from '../proof/sshsig.ts';
import { memoised, memoisedBy } from '../fault/memo.ts';
import { own } from '../fault/own.ts';
import { digestOf, inspectedFacts, linesOf } from '../record/inspected.ts';
import { inspectionLines } from '../report/inspection-sheet.ts';
import { recordIn } from './records/record-in.ts';
import type { PublicKeyReader } from './journal/public-keys.ts';
import { signersOf } from './journal/signers-text.ts';

/** What a second person signs: which inspection it is, what they inspected, and what they answer. */
export interface HoldAnswer {
  readonly v: 1;
  readonly build: string;
  readonly job: string;
  readonly step: string;
  /** Hash of the last entry that touches what is inspected. A temperature logged later does not void an answer. */
  readonly head: string;
  /** A number used once: the first entry that carries the answer uses it up. */
  readonly nonce: string;
  /** What was inspected: a line for everything entered, see `inspectedFacts`. */
  readonly inspected: readonly string[];
  /** SHA-256 of that list as canonical JSON. */
  readonly digest: string;
  /** The same for people: all that the second person was shown. */
  readonly sheet: readonly string[];
  /** What temperatures said then of the cures on it; a temperature logged later does not void an answer. */
  readonly cures: readonly string[];
  readonly answer: LookVerb;
  readonly person: string;
  readonly remark?: string;
  readonly remote?: true;
  /** Of a look from elsewhere: what was shown, and what could not be judged. */
  readonly shown?: string;
  readonly 'not-judged'?: string;
  /** Why the performer looked again at their own work. */
  readonly reason?: string;
  readonly findings?: readonly string[];
}

const holdOf = (job: JobState, step: string): Outcome<Step> => {
  const found = stepOf(job.plan, step);
  return found?.hold
    ? ok(found)
    : err(usage('unknown-id', `${step} is no hold or witness point of ${job.id}`, 'name the step of the hold'));
};

export interface AnswerWish {
  readonly job: JobState;
  readonly step: string;
  readonly answer: LookVerb;
  readonly person: string;
  readonly data: Data;
  readonly nonce: string;
}

const anyHead = { writer: '', seq: 1, hash: '' };

type Inspection = Pick<HoldAnswer, 'inspected' | 'digest' | 'sheet' | 'cures'>;

/** Made for one build and job by the step of the hold: an answer is compared with it twice. */
const inspectionsIn = memoised((state: BuildState) =>
  memoisedBy((job: JobState, hold: string): Inspection => {
    const document = recordIn(state, job, anyHead);
    const inspected = linesOf(inspectedFacts(document, hold));
    return { inspected, digest: digestOf(inspected), ...inspectionLines(document, hold) };
  }),
);

/** What a hold inspects, as the build is: the list with its hash, and the sheet in words. */
const inspectionOf = (state: BuildState, job: JobState, hold: string): Inspection => inspectionsIn(state)(job, hold);

/** Readable in any editor by whoever signs it: sorted keys, one item a line, a line feed at the end. */
const written = (answer: JsonObject): string => `${JSON.stringify(JSON.parse(canonicalJson(answer)), null, 2)}\n`;

/** The text of the file to be signed. */
export const answerText = (state: BuildState, wish: AnswerWish): Outcome<string> => {
  const hold = holdOf(wish.job, wish.step);
  if (!hold.ok) return hold;
  const { remark, remote, shown, 'not-judged': notJudged, reason, findings } = wish.data;
  const answer = {
    v: 1,
    build: state.build,
    job: wish.job.id,
    step: wish.step,
    head: inspectionHead(wish.job, hold.value),
    nonce: wish.nonce,
    ...inspectionOf(state, wish.job, wish.step),
    answer: wish.answer,
    person: wish.person,
    ...(remark === undefined ? {} : { remark }),
    ...(remote === true ? { remote } : {}),
    ...(shown === undefined ? {} : { shown }),
    ...(notJudged === undefined ? {} : { 'not-judged': notJudged }),
    ...(reason === undefined ? {} : { reason }),
    ...(findings === undefined ? {} : { findings }),
  };
  return ok(written(answer));
};

const isText = (value: Json | undefined): boolean => typeof value === 'string' && value !== '';
const isLines = (value: Json | undefined): boolean =>
  Array.isArray(value) && value.every((line) => typeof line === 'string');
const isTexts = (value: Json | undefined): boolean => Array.isArray(value) && value.every(isText);

const wanted = ['build', 'job', 'step', 'head', 'nonce', 'digest', 'person'];
const wantedLists = ['inspected', 'sheet', 'cures'];
const optional: Readonly<Record<string, (value: Json | undefined) => boolean>> = {
  remark: isText,
  remote: (value) => value === true,
  shown: isText,
  'not-judged': isText,
  reason: isText,
  findings: isTexts,
};

const answerFlaw = (value: JsonObject): string | undefined => {
  if (value['v'] !== 1) return 'it is of another version';
  const missing = wanted.find((key) => !isText(value[key]));
  if (missing !== undefined) return `it has no ${missing}`;
  const unlisted = wantedLists.find((key) => !isLines(value[key]));
  if (unlisted !== undefined) return `it has no ${unlisted}`;
  if (typeof value['answer'] !== 'string' || !isLookVerb(value['answer'])) return 'it neither releases nor refuses';
  if (value['answer'] === 'refuse' && !isTexts(value['findings'])) return 'it refuses without findings';
  for (const [key, item] of Object.entries(value)) {
    if (key === 'v' || key === 'answer' || wanted.includes(key) || wantedLists.includes(key)) continue;
    if (own(optional, key)?.(item) !== true) return `it holds ${key}, which is not known`;
  }
  return undefined;
};

const parsed = (text: string): Json | undefined => {
  try {
    return JSON.parse(text) as Json;
  } catch {
    return undefined;
  }
};

/** Reads the text of an answer file. Code `answer-unreadable`. */
export const readAnswer = (text: string): Outcome<HoldAnswer> => {
  const unreadable = (what: string) =>
    err(
      usage(
        'answer-unreadable',
        `this is no answer to a hold: ${what}`,
        'sign the file as `dryfit hold JOB --for release` wrote it, unchanged',
      ),
    );
  const value = parsed(text);
  if (value === undefined || !isJsonObject(value)) return unreadable('not an object');
  const flaw = flawOf(value) ?? answerFlaw(value);
  if (flaw !== undefined) return unreadable(flaw);
  if (written(value) !== text) return unreadable('its lines are not as they were written');
  return ok(value as unknown as HoldAnswer);
};

/** True where an answer in this job's entries has this nonce. An answer for another job is refused before this is asked. */
const isSpent = (job: JobState, nonce: string): boolean =>
  Object.values(job.looks)
    .flat()
    .some(({ answer }) => {
      const read = answer === undefined ? undefined : readAnswer(answer);
      return read?.ok === true && read.value.nonce === nonce;
    });

/** Why a signed answer is not one to this hold as it is now. */
const placeFault = (state: BuildState, job: JobState, answer: HoldAnswer): Fault | undefined => {
  if (answer.build !== state.build)
    return refusalNamed('answer-build', 'the answer is for another build', 'have one made and signed for this build');
  if (answer.job !== job.id)
    return refusalNamed(
      'answer-job',
      `the answer is for the job ${answer.job}, not for ${job.id}`,
      'take it in at that job',
    );
  const hold = holdOf(job, answer.step);
  if (!hold.ok)
    return refusalNamed(
      'answer-step',
      `the answer is for ${answer.step}: ${hold.fault.what}`,
      'have one made for a hold',
    );
  if (isSpent(job, answer.nonce))
    return refusalNamed('answer-replayed', 'this answer was taken in before', 'have a new one made and signed');
  if (answer.head !== inspectionHead(job, hold.value))
    return refusalNamed(
      'answer-head',
      `what ${answer.step} inspects has changed since the answer was made`,
      'have a new one made, looked at and signed',
    );
  const now = inspectionOf(state, job, answer.step);
  if (answer.digest !== now.digest || digestOf(answer.inspected) !== now.digest)
    return refusalNamed(
      'answer-digest',
      `the answer is about something else than what ${answer.step} inspects`,
      'have one made with dryfit hold, and sign it as it was made',
    );
  return undefined;
};

/** How the sheet that was signed differs from the one that this dryfit makes of the build; nothing where it does not. */
const sheetsDiffer = (
  { state, job }: Against,
  { step, sheet, cures }: HoldAnswer,
): { readonly entered?: string; readonly cured: boolean } => {
  const now = inspectionOf(state, job, step);
  const entered = now.sheet.find((line) => !sheet.includes(line)) ?? sheet.find((line) => !now.sheet.includes(line));
  return { cured: !sameData(cures, now.cures), ...(entered === undefined ? {} : { entered: entered.trim() }) };
};

/** How an answer reaches the build: as a text and a signature over it. */
export const asAnswer: CarriedKind = { what: 'answer', namespace: namespaces.hold };

export interface ReadAnswer {
  readonly answer: HoldAnswer;
  readonly data: Data;
  /** What a reader must know of the sheet that was signed. */
  readonly told: readonly string[];
}

/**
 * Who signed, by the keys of the build. A key that has ended signs nothing more, unless its end was not known where the answer
 * was taken in.
 */
const signedBy = (answer: HoldAnswer, text: string, signature: string, against: Against): Fault | undefined => {
  const { state, read } = against;
  const signer = signerOf(signature, text, asAnswer.namespace, signersOf(state, read));
  if (!signer.ok)
    return carriedFault(asAnswer, signer.fault, `${answer.person} signs with the key that the build knows`);
  const { person, key } = signer.value;
  if (person !== answer.person)
    return refusalNamed(
      'answer-key',
      `the answer is signed by ${person}, and says ${answer.person}`,
      `${answer.person} signs it`,
    );
  const ended = keysOf(state, person).findLast(({ fingerprint }) => fingerprint === key.fingerprint)?.ended;
  return ended === undefined || against.meanwhile === true
    ? undefined
    : refusalNamed(
        'answer-key-ended',
        `the answer is signed with ${key.fingerprint}, a key of ${person} that entry ${ended} ended`,
        `${person} signs it with the key that they have now`,
      );
};

/** What an answer is checked against. */
export interface Against {
  readonly state: BuildState;
  readonly job: JobState;
  readonly read: PublicKeyReader;
  /** The step of the hold, where the person named one. */
  readonly step?: string;
  /** True where the answer was taken in while others wrote elsewhere, so that what they did to keys was not known. */
  readonly meanwhile?: boolean;
  /** True where the answer is taken in now: its sheet must be that of the build. An older one may be in the words of an older dryfit. */
  readonly isNew?: boolean;
}

/**
 * Checks a signed answer against the build as it is: which inspection it is for, who signed it, and that it was not used before.
 * Refused with `answer-build`, `answer-job`, `answer-step`, `answer-replayed`, `answer-head`, `answer-digest`,
 * `answer-sheet`, `answer-namespace`, `answer-key`, `answer-key-ended`, `answer-signature`. Code `answer-unreadable` (usage) for a text that is
 * not an answer.
 */
export const checkAnswer = (text: string, signature: string, against: Against): Outcome<ReadAnswer> => {
  const read = readAnswer(text);
  if (!read.ok) return read;
  const answer = read.value;
  const fault = otherStep(answer, against.step) ?? placeFault(against.state, against.job, answer);
  if (fault !== undefined) return err(fault);
  const { entered, cured } = sheetsDiffer(against, answer);
  const unsigned =
    entered !== undefined && against.isNew === true
      ? otherSheet(answer, entered)
      : signedBy(answer, text, signature, against);
  if (unsigned !== undefined) return err(unsigned);
  const told = [
    ...(entered === undefined
      ? []
      : [`the sheet that was signed differs from the one that this dryfit makes: ${entered}`]),
    ...(cured
      ? ['the cures on the sheet are as of when the answer was made; temperatures have been entered since']
      : []),
  ];
  return ok({ answer, data: answerData(answer, text, signature), told });
};

const otherSheet = ({ step }: HoldAnswer, line: string): Fault =>
  refusalNamed(
    'answer-sheet',
    `the sheet that was signed is not that of ${step}: ${line}`,
    'have one made with dryfit hold, and sign it as it was made',
  );

const otherStep = (answer: HoldAnswer, step: string | undefined): Fault | undefined =>
  step === undefined || step === answer.step
    ? undefined
    : refusalNamed('answer-step', `the answer is for ${answer.step}, not for ${step}`, `have one made for ${step}`);

/** The data of the entry that carries an answer: what the person would have entered, with the signed text as proof. */
const answerData = (answer: HoldAnswer, text: string, signature: string): Data => ({
  step: answer.step,
  person: answer.person,
  answer: text,
  'answer-sig': signature,
  ...(answer.remark === undefined ? {} : { remark: answer.remark }),
  ...(answer.remote === undefined ? {} : { remote: true }),
  ...(answer.shown === undefined ? {} : { shown: answer.shown }),
  ...(answer['not-judged'] === undefined ? {} : { 'not-judged': answer['not-judged'] }),
  ...(answer.reason === undefined ? {} : { reason: answer.reason }),
  ...(answer.findings === undefined ? {} : { findings: answer.findings }),
});
