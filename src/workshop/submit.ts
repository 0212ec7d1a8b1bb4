import { isLookVerb, type LookVerb } from '../job/verbs.ts';
import { decideBuild, type Decided } from '../aircraft/decide.ts';
import { jobOf, type BuildState } from '../aircraft/state.ts';
import { err, ok, type Outcome } from '../fault/fault.ts';
import type { Command, Data } from '../job/entry.ts';
import { clockDoubt } from '../job/line-types.ts';
import type { Link } from '../proof/chain.ts';
import { notice } from '../store/disk-fault.ts';
import { entryId } from '../proof/line.ts';
import { namespaces } from '../proof/sshsig.ts';
import type { CoSigner, Signer } from '../signing/signer.ts';
import type { Intent, Done } from './intent.ts';
import { answerText } from './answers.ts';
import { addBrought, keepFiles } from './attached-files.ts';
import { writeLine, writingFault, type OpenState } from './open-state.ts';
import { toldOfDoubts } from './doubts.ts';
import { asksForPlan } from './procedures/pages.ts';
import { writeChangedRecords } from './records/changed.ts';
import { takeInBuild } from './take-in.ts';
import type { SignerOf } from './keys/signers.ts';
import { hasJob } from '../aircraft/jobs.ts';

/** The build as decisions see it: if the wall clock was set while dryfit was open, its time is in doubt. */
const stateNow = (openState: OpenState): BuildState => {
  const why = openState.clock.trouble();
  if (why === undefined || openState.state.clockTrouble !== undefined) return openState.state;
  const at = openState.clock.at();
  return { ...openState.state, clockTrouble: { entry: '', at, when: at, by: '', why } };
};

/** An entry with a doubtful time says so itself, because the next run has no way of knowing. */
const inDoubt = ({ clock }: OpenState): Data => (clock.trouble() === undefined ? {} : { [clockDoubt]: true });

const commandOf = (openState: OpenState, act: Intent, data: Data): Command => ({
  verb: act.verb,
  job: act.job,
  by: act.by,
  at: openState.clock.at(),
  data: { ...data, ...inDoubt(openState) },
  ...(openState.appender === undefined ? {} : { writer: openState.appender.writer }),
  ...(act.when === undefined ? {} : { when: act.when }),
});

/** The people who must sign beside the person whose entry it is. */
const coSignersOf = (taken: Decided, signerOf: SignerOf): Outcome<readonly CoSigner[]> => {
  const others: CoSigner[] = [];
  for (const by of taken.also) {
    const signer = signerOf(by);
    if (!signer.ok) return signer;
    others.push({ by, signer: signer.value });
  }
  return ok(others);
};

const nonceOf = (openState: OpenState): string => Buffer.from(openState.place.random(16)).toString('hex');

type Look = Extract<Decided, { readonly type: LookVerb }>;

const isLook = (taken: Decided): taken is Look => isLookVerb(taken.type);

/** An answer to a hold carries its own signed text, which is made here where none was carried in. */
const withAnswer = (openState: OpenState, taken: Decided, by: string, signer: Signer): Outcome<Data> => {
  const job = jobOf(openState.state, taken.job);
  if (!isLook(taken) || job === undefined || taken.data.answer !== undefined) return ok(taken.data);
  const text = answerText(openState.state, {
    job,
    step: taken.data.step,
    answer: taken.type,
    person: by,
    data: taken.data,
    nonce: nonceOf(openState),
  });
  if (!text.ok) return text;
  const signature = signer.signArmored(namespaces.hold, text.value);
  return signature.ok ? ok({ ...taken.data, answer: text.value, 'answer-sig': signature.value }) : signature;
};

const startedJob = (before: BuildState, after: BuildState): string | undefined =>
  after.jobOrder.find((id) => !hasJob(before.jobs, id));

const doneOf = (before: BuildState, after: BuildState, link: Link, taken: Decided): Omit<Done, 'told' | 'record'> => ({
  entry: entryId(link.line),
  at: link.line.at,
  by: link.line.by,
  job: startedJob(before, after) ?? link.line.job,
  type: taken.type,
  // As it is on the disk: canonical, with its signed answer.
  data: link.line.data as Done['data'],
  ...(taken.verdict === undefined ? {} : { verdict: taken.verdict }),
});

interface Ready {
  readonly command: Command;
  readonly taken: Decided;
  readonly files: Parameters<typeof keepFiles>[1];
}

const decide = (openState: OpenState, act: Intent): Outcome<Ready> => {
  const brought = addBrought(openState, act.verb, act.data, act.job);
  if (!brought.ok) return brought;
  const state = stateNow(openState);
  const command = commandOf(openState, act, brought.value.data);
  const taken = decideBuild(state, command, openState.library);
  return taken.ok ? ok({ command, taken: taken.value, files: brought.value.files }) : taken;
};

const write = (openState: OpenState, { command, taken, files }: Ready, signerOf: SignerOf): Outcome<Link> => {
  const signer = signerOf(command.by);
  if (!signer.ok) return signer;
  const others = coSignersOf(taken, signerOf);
  if (!others.ok) return others;
  const data = withAnswer(openState, taken, command.by, signer.value);
  if (!data.ok) return data;
  const kept = keepFiles(openState, files);
  if (!kept.ok) return kept;
  const { by, at, when } = command;
  const draft = { type: taken.type, by, job: taken.job, at, data: data.value, ...(when === undefined ? {} : { when }) };
  return writeLine(openState, draft, { signer: signer.value, others: others.value });
};

/** The message for an entry whose time is in doubt: the entry is kept, but its time does not count. */
const doubtMessages = ({ state }: OpenState, { line }: Link): readonly string[] =>
  state.clockTrouble === undefined || line.when !== undefined
    ? []
    : [`${state.clockTrouble.why}: its time counts for nothing; enter the true time (clock)`];

/** Decides without entering: what the entry would be, and who would have to sign it. */
export const tryAct = (openState: OpenState, act: Intent): Outcome<Decided> => {
  const decided = decide(openState, act);
  return decided.ok ? ok(decided.value.taken) : decided;
};

/**
 * Enters an act: it is decided, written and applied. This is the only way in which anything is entered. It returns once the entry
 * is on the disk. Faults are those of the rules, of keys (`key-missing`, `passphrase-wanted`, `passphrase`) and of the disk;
 * after a fault nothing was entered.
 */
export const submitAct = (openState: OpenState, act: Intent, signerOf: SignerOf): Outcome<Done> => {
  const fault = writingFault(openState);
  if (fault !== undefined) return err(fault);
  const draft = takeInBuild(openState, act.by, signerOf, asksForPlan(openState.state, act));
  if (!draft.ok) return draft;
  const decided = decide(openState, act);
  if (!decided.ok) {
    // What was taken in is written all the same, so the person hears of it.
    openState.notices.push(...draft.value.map((told) => notice('taken-in', told)));
    return decided;
  }
  const before = openState.state;
  const link = write(openState, decided.value, signerOf);
  if (!link.ok) return link;
  if (act.verb === 'clock') openState.clock.settle();
  const { taken } = decided.value;
  const records = writeChangedRecords(openState, before, taken.type, { by: act.by, signerOf });
  return ok({
    ...doneOf(before, openState.state, link.value, taken),
    told: [
      ...taken.told,
      ...toldOfDoubts(before, openState.state, { type: taken.type, when: act.when, own: taken.job }),
      ...doubtMessages(openState, link.value),
      ...records.told,
      ...draft.value,
    ],
    ...(records.folder === undefined ? {} : { record: records.folder }),
  });
};
