import { decideBuild, jobOfCommand } from '../build/decide.ts';
import { jobOf, type BuildState } from '../build/state.ts';
import { bad, good, refusal, type Outcome } from '../fault/fault.ts';
import { textOf, type Command, type Data, type Taken } from '../job/entry.ts';
import { clockDoubt } from '../job/verbs.ts';
import type { Link } from '../proof/chain.ts';
import { namespaces } from '../proof/sshsig.ts';
import type { Signer } from '../signing/signer.ts';
import type { Act, Done } from './act.ts';
import { answerText, isAnswerKind } from './answers.ts';
import { bring, keepFiles } from './bring.ts';
import { writeLine, type Desk } from './desk.ts';
import { takeInDraft } from './draft.ts';
import { changedStories, writeRecord } from './records/records.ts';
import type { SignerOf } from './keys/signers.ts';
import { hasJob } from '../build/jobs.ts';

/** The build as decisions see it: a wall clock that was set while dryfit was open puts it into doubt. */
const stateNow = (desk: Desk): BuildState => {
  const why = desk.clock.trouble();
  if (why === undefined || desk.state.clockTrouble !== undefined) return desk.state;
  const at = desk.clock.at();
  return { ...desk.state, clockTrouble: { entry: '', at, when: at, by: '', why } };
};

/** What is stamped by a clock that was set meanwhile says so itself: the next run cannot know. */
const inDoubt = ({ clock }: Desk): Data => (clock.trouble() === undefined ? {} : { [clockDoubt]: true });

const commandOf = (desk: Desk, act: Act, data: Data): Command => ({
  verb: act.verb,
  job: act.job,
  by: act.by,
  at: desk.clock.at(),
  data: { ...data, ...inDoubt(desk) },
  ...(desk.appender === undefined ? {} : { writer: desk.appender.writer }),
  ...(act.when === undefined ? {} : { when: act.when }),
});

/** Whoever must sign beside the person whose entry it is. */
const othersOf = (
  taken: Taken,
  signerOf: SignerOf,
): Outcome<readonly { readonly by: string; readonly signer: Signer }[]> => {
  const others: { by: string; signer: Signer }[] = [];
  for (const by of taken.also) {
    const signer = signerOf(by);
    if (!signer.ok) return signer;
    others.push({ by, signer: signer.value });
  }
  return good(others);
};

const nonceOf = (desk: Desk): string => Buffer.from(desk.place.random(16)).toString('hex');

/** A look at a hold carries its own signed answer, made here and now where none was carried in. */
const withAnswer = (desk: Desk, command: Command, taken: Taken, signer: Signer): Outcome<Data> => {
  const job = jobOf(desk.state, command.job);
  if (!isAnswerKind(command.verb) || job === undefined || taken.data['answer'] !== undefined) return good(taken.data);
  const text = answerText(desk.state, {
    job,
    step: textOf(taken.data, 'step') ?? '',
    answer: command.verb,
    person: command.by,
    data: taken.data,
    nonce: nonceOf(desk),
  });
  if (!text.ok) return text;
  const signature = signer.signArmored(namespaces.hold, text.value);
  return signature.ok ? good({ ...taken.data, answer: text.value, 'answer-sig': signature.value }) : signature;
};

/** Records that the entry owes. One whose completer's key is not at hand stays owed, and is told. */
const writeRecords = (
  desk: Desk,
  before: BuildState,
  type: string,
  signerOf: SignerOf,
): { readonly folder?: string; readonly told: readonly string[] } => {
  const told: string[] = [];
  let folder: string | undefined;
  for (const job of changedStories(before, desk.state, type)) {
    const written = writeRecord(desk, job, signerOf);
    if (written.ok) folder = written.value;
    else told.push(`the record of ${job.id} is owed: ${written.fault.what}; ${written.fault.todo}`);
    if (!written.ok && desk.owed !== undefined) desk.owed = [...desk.owed, job.id];
  }
  return { told, ...(folder === undefined ? {} : { folder }) };
};

const startedJob = (before: BuildState, after: BuildState): string | undefined =>
  after.jobOrder.find((id) => !hasJob(before.jobs, id));

const doneOf = (before: BuildState, after: BuildState, link: Link, taken: Taken): Omit<Done, 'told' | 'record'> => ({
  entry: `${link.line.writer}:${link.line.seq}`,
  at: link.line.at,
  by: link.line.by,
  job: startedJob(before, after) ?? link.line.job,
  type: link.line.type,
  data: link.line.data as Data,
  ...(taken.verdict === undefined ? {} : { verdict: taken.verdict }),
});

interface Decided {
  readonly command: Command;
  readonly taken: Taken;
  readonly files: Parameters<typeof keepFiles>[1];
}

const decide = (desk: Desk, act: Act): Outcome<Decided> => {
  const brought = bring(desk, act.verb, act.data, act.job);
  if (!brought.ok) return brought;
  const state = stateNow(desk);
  const asked = commandOf(desk, act, brought.value.data);
  const command = { ...asked, job: jobOfCommand(state, asked) };
  const taken = decideBuild(state, command, desk.shelf);
  return taken.ok ? good({ command, taken: taken.value, files: brought.value.files }) : taken;
};

const write = (desk: Desk, { command, taken, files }: Decided, signerOf: SignerOf): Outcome<Link> => {
  const signer = signerOf(command.by);
  if (!signer.ok) return signer;
  const others = othersOf(taken, signerOf);
  if (!others.ok) return others;
  const data = withAnswer(desk, command, taken, signer.value);
  if (!data.ok) return data;
  const kept = keepFiles(desk, files);
  if (!kept.ok) return kept;
  const { by, job, at, when } = command;
  const draft = { type: taken.type, by, job, at, data: data.value, ...(when === undefined ? {} : { when }) };
  return writeLine(desk, draft, { signer: signer.value, others: others.value });
};

/** Said of every entry whose time is in doubt: it is kept, and its time counts for nothing. */
const doubtTold = ({ state }: Desk, { line }: Link): readonly string[] =>
  state.clockTrouble === undefined || line.when !== undefined
    ? []
    : [`${state.clockTrouble.why}: its time counts for nothing; enter the true time (clock)`];

/** Decides without entering: what would be taken, and who would have to sign. */
export const tryAct = (desk: Desk, act: Act): Outcome<Taken> => {
  const decided = decide(desk, act);
  return decided.ok ? good(decided.value.taken) : decided;
};

/**
 * load → decide → append → apply: the one way in which anything is entered. Returns once it is on the disk.
 * Faults: those of the rules, of keys (`key-missing`, `passphrase-wanted`, `passphrase`), of the disk; then nothing was entered.
 */
export const submitAct = (desk: Desk, act: Act, signerOf: SignerOf): Outcome<Done> => {
  if (desk.closed !== undefined) return bad(desk.closed);
  if (desk.appender === undefined)
    return bad(refusal('read-only', 'this state is open for reading only', 'close the other dryfit first'));
  const draft = takeInDraft(desk, act.by, signerOf);
  if (!draft.ok) return draft;
  const decided = decide(desk, act);
  if (!decided.ok) return decided;
  const before = desk.state;
  const link = write(desk, decided.value, signerOf);
  if (!link.ok) return link;
  if (act.verb === 'clock') desk.clock.settle();
  const { taken } = decided.value;
  const records = writeRecords(desk, before, taken.type, signerOf);
  return good({
    ...doneOf(before, desk.state, link.value, taken),
    told: [...draft.value, ...taken.told, ...doubtTold(desk, link.value), ...records.told],
    ...(records.folder === undefined ? {} : { record: records.folder }),
  });
};
