import * as z from 'zod/mini';
import { powersToLook, releaseInForce } from '../job/hold.ts';
import { isNameOf } from '../job/people.ts';
import { performs } from '../job/verbs.ts';
import { sha256Hex } from '../proof/hash.ts';
import { signerOf, type AllowedSigner } from '../proof/signers.ts';
import { namespaces } from '../proof/sshsig.ts';
import type { RecordStep } from './document-step.ts';
import type { RecordDocument } from './document.ts';
import { foundWrong, noted, passed, type Observation } from './observe.ts';
import type { RecordHold, RecordLook } from './parts/hold.ts';
import { verifyList } from './verify-list.ts';

/** A signed answer as it was found in the record folder. */
export interface AnswerFile {
  readonly bytes: Uint8Array;
  readonly signature?: string;
}

export type AnswerFiles = ReadonlyMap<string, AnswerFile>;

/** What is checked of an answer here. Its head is left out: it can be compared with the journal alone. */
const answerShape = z.looseObject({
  build: z.string(),
  job: z.string(),
  step: z.string(),
  nonce: z.string(),
  digest: z.string(),
  inspected: z.array(z.string()),
  sheet: z.array(z.string()),
  answer: z.string(),
  person: z.exactOptional(z.string()),
  remote: z.exactOptional(z.boolean()),
  remark: z.exactOptional(z.string()),
  shown: z.exactOptional(z.string()),
  'not-judged': z.exactOptional(z.string()),
  reason: z.exactOptional(z.string()),
  findings: z.exactOptional(z.array(z.string())),
});

type SignedAnswer = z.infer<typeof answerShape>;

const readAnswer = (bytes: Uint8Array): SignedAnswer | undefined => {
  try {
    const read = answerShape.safeParse(JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(bytes)));
    return read.success ? read.data : undefined;
  } catch {
    return undefined;
  }
};

interface RecordPlace {
  readonly document: RecordDocument;
  readonly step: RecordStep;
  readonly hold: RecordHold;
  readonly look: RecordLook;
  readonly where: string;
}

const findingTexts = ({ hold, look }: RecordPlace): readonly string[] =>
  look.findings.map((number) => hold.findings.find((finding) => finding.finding === number)?.text ?? '');

const sameTexts = (one: readonly string[], other: readonly string[]): boolean =>
  one.length === other.length && one.every((text, index) => text === other[index]);

/** Compares what the answer says with what the record says of it. */
const contentFaults = (answer: SignedAnswer, at: RecordPlace): readonly Observation[] => {
  const { document, step, look, where } = at;
  const claims: readonly (readonly [same: boolean, what: string])[] = [
    [answer.build === document.build.build, 'the answer is for another build'],
    [answer.job === document.job.job, `the answer is for the job ${answer.job}`],
    [answer.step === step.step, `the answer is for the step ${answer.step}`],
    [answer.answer === look.kind, `the answer says ${answer.answer}, the record ${look.kind}`],
    [answer.person === undefined || answer.person === look.person, `the answer is by ${answer.person ?? ''}`],
    [answer.remote !== true || look.as !== 'present', 'the answer says remote, the record present'],
    [answer.remark === look.remark, 'the remark in the answer is another'],
    [answer.shown === look.shown, 'what was shown is another in the answer'],
    [answer['not-judged'] === look['not-judged'], 'what could not be judged is another in the answer'],
    [answer.reason === look.reason, 'the reason in the answer is another'],
    [
      look.kind !== 'refuse' || sameTexts(answer.findings ?? [], findingTexts(at)),
      'the findings in the answer are others',
    ],
  ];
  return claims.filter(([same]) => !same).map(([, what]) => foundWrong(what, where));
};

const signatureObservation = (
  found: AnswerFile,
  signature: string,
  at: RecordPlace,
  signers: readonly AllowedSigner[],
): Observation => {
  const signer = signerOf(signature, found.bytes, namespaces.hold, signers);
  if (!signer.ok) return foundWrong(`the signature of the answer is not good: ${signer.fault.what}`, at.where);
  const { person, key } = signer.value;
  return person === at.look.person
    ? passed(`${at.look.kind} signed by ${person} with ${key.fingerprint}, ${at.look.as}`, at.where)
    : foundWrong(`the answer is signed by ${person}, not by ${at.look.person}`, at.where);
};

const verifyAnswer = (
  at: RecordPlace,
  answers: AnswerFiles,
  signers: readonly AllowedSigner[],
): readonly Observation[] => {
  const { look, where } = at;
  if (!look.answer) return [foundWrong(`the ${look.kind} has no signed answer`, where)];
  const found = answers.get(look.answer.file);
  if (!found?.signature) return [foundWrong(`${look.answer.file}${found ? '.sig' : ''} is missing`, where)];
  if (sha256Hex(found.bytes) !== look.answer.sha256) return [foundWrong(`${look.answer.file} has been changed`, where)];
  if (sha256Hex(found.signature) !== look.answer['signature-sha256'])
    return [foundWrong(`${look.answer.file}.sig has been changed`, where)];
  const answer = readAnswer(found.bytes);
  if (!answer) return [foundWrong(`${look.answer.file} is not an answer`, where)];
  const faults = contentFaults(answer, at);
  return faults.length > 0
    ? faults
    : [
        signatureObservation(found, found.signature, at, signers),
        ...verifyList(at.document, at.step.step, look.entry, answer, where),
      ];
};

/** A look by the performer: named as one, and a fault where it released and the procedure does not let it. */
const selfFaults = ({ hold, look, where }: RecordPlace): readonly Observation[] => [
  noted(`${look.person} looked again at own work: not an independent inspection`, where),
  ...(look.kind === 'release' && hold['self-after'] === undefined
    ? [foundWrong('the procedure lets nobody release own work here', where)]
    : []),
];

const remoteFaults = ({ hold, look, where }: RecordPlace): readonly Observation[] => [
  noted(`${look.person} looked from elsewhere: remote`, where),
  ...(look.kind === 'release' && !hold['remote-allowed']
    ? [foundWrong('the procedure allows no remote release here', where)]
    : []),
];

/** True where an entry of the journal made its author a performer of an inspected step. Not every entry says its step. */
const isWork = ({ hold }: RecordPlace, { type, step }: RecordDocument['journal']['entries'][number]): boolean =>
  performs(type) && (step === undefined || hold.of.includes(step));

/**
 * Whether the looker had performed what they inspected before they looked. Who lent a hand is recorded without a time, so it counts
 * against the release that is in force; any other look opened the work again, and may have come before.
 */
const hadPerformed = (at: RecordPlace): boolean => {
  const { document, hold, look } = at;
  const isLooker = (name: string): boolean => isNameOf(document.people, name, look.person);
  if (!hold.performers.some(isLooker)) return false;
  const { entries } = document.journal;
  const place = entries.findIndex(({ entry }) => entry === look.entry);
  const before = place < 0 ? entries : entries.slice(0, place);
  const helped = document.steps.filter(({ step }) => hold.of.includes(step)).flatMap((step) => step.with);
  return (
    before.some((entry) => isLooker(entry.by) && isWork(at, entry)) ||
    (releaseInForce(hold.looks) === look && helped.some(isLooker))
  );
};

/** The person must have the power to look, and must have performed none of the steps that they inspected. A refusal stands whoever made it. */
const personFaults = (at: RecordPlace): readonly Observation[] => {
  const { document, hold, look, where } = at;
  if (look.as === 're-inspection by the performer') return selfFaults(at);
  const powers = document.people.find(({ person }) => person === look.person)?.powers ?? [];
  const may = powersToLook({ kind: hold.kind === 'hold point' ? 'hold' : 'witness', by: hold.by });
  return [
    ...(look.kind !== 'refuse' && hadPerformed(at)
      ? [foundWrong(`${look.person} performed what was inspected`, where)]
      : []),
    ...(powers.some((power) => may.includes(power))
      ? []
      : [foundWrong(`${look.person} has no power of ${hold.by}`, where)]),
    ...(look.as === 'remote' ? remoteFaults(at) : []),
  ];
};

/** A finished hold point has a release in force, and an answer to every finding. */
const stateFaults = (step: RecordStep, hold: RecordHold, where: string): readonly Observation[] => {
  if (hold.kind === 'witness point' || step.state !== 'finished') return [];
  return [
    ...(releaseInForce(hold.looks) ? [] : [foundWrong('the hold is finished and no release of it stands', where)]),
    ...hold.findings
      .filter(({ answers }) => answers.length === 0)
      .map(({ finding }) => foundWrong(`finding ${finding} was never answered`, where)),
  ];
};

const verifyHold = (
  document: RecordDocument,
  step: RecordStep,
  hold: RecordHold,
  answers: AnswerFiles,
  signers: readonly AllowedSigner[],
): readonly Observation[] => {
  const where = `steps[${step.step}].hold`;
  const looks = hold.looks.flatMap((look, index) => {
    const at = { document, step, hold, look, where: `${where}.looks[${index + 1}]` };
    return look.kind === 'invite' ? [] : [...personFaults(at), ...verifyAnswer(at, answers, signers)];
  });
  return [...looks, ...stateFaults(step, hold, where)];
};

/** Findings are numbered from 1 without a gap, so that one that was taken out leaves a hole. */
const findingGaps = ({ steps }: RecordDocument): readonly Observation[] => {
  const numbers = steps.flatMap(({ hold }) => hold?.findings ?? []).map(({ finding }) => finding);
  const last = Math.max(0, ...numbers);
  return Array.from({ length: last }, (_, index) => index + 1)
    .filter((number) => !numbers.includes(number))
    .map((number) => foundWrong(`finding ${number} is not in the record`, 'steps'));
};

const repeatedNonces = (document: RecordDocument, answers: AnswerFiles): readonly Observation[] => {
  const seen = new Map<string, string>();
  const files = document.steps.flatMap(({ hold }) => hold?.looks ?? []).flatMap(({ answer }) => answer?.file ?? []);
  return files.flatMap((file) => {
    const found = answers.get(file);
    const nonce = found && readAnswer(found.bytes)?.nonce;
    const before = nonce === undefined ? undefined : seen.get(nonce);
    if (nonce !== undefined) seen.set(nonce, file);
    return before === undefined ? [] : [foundWrong(`${file} is a replay of ${before}: it has the same nonce`, file)];
  });
};

/** Every look at every hold of a record: its person, its signed answer, and whether a hold that is finished was released. */
export const verifyHolds = (
  document: RecordDocument,
  answers: AnswerFiles,
  signers: readonly AllowedSigner[],
): readonly Observation[] => [
  ...document.steps.flatMap((step) => (step.hold ? verifyHold(document, step, step.hold, answers, signers) : [])),
  ...findingGaps(document),
  ...repeatedNonces(document, answers),
];
