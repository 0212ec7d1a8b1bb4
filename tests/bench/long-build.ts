import { appendFileSync, mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { decideBuild } from '../../src/aircraft/decide.ts';
import { evolveBuild } from '../../src/aircraft/evolve.ts';
import { emptyBuild, jobOf, type BuildState } from '../../src/aircraft/state.ts';
import type { Outcome } from '../../src/fault/fault.ts';
import type { Data } from '../../src/job/entry.ts';
import { readEntry } from '../../src/job/parse.ts';
import { isLookVerb } from '../../src/job/verbs.ts';
import type { JsonObject } from '../../src/proof/canonical.ts';
import { sha256Hex } from '../../src/proof/hash.ts';
import type { SealedLine } from '../../src/proof/line.ts';
import { writeSigners } from '../../src/proof/signers.ts';
import { namespaces } from '../../src/proof/sshsig.ts';
import { printInstant } from '../../src/quantity/time.ts';
import { digestOf } from '../../src/record/inspected.ts';
import { writeKeyFile } from '../../src/signing/openssh.ts';
import { secretFromSeed } from '../../src/signing/secret.ts';
import { makeSigner, signLine, type CoSigner } from '../../src/signing/signer.ts';
import { realDisk } from '../../src/store/disk.ts';
import { answerText } from '../../src/workshop/answers.ts';
import { entryOfLink } from '../../src/workshop/journal/fold.ts';
import { textLibrary } from '../../src/workshop/journal/library.ts';
import { longBuildProcedure } from './long-build-procedure.ts';
import { storyOf, type Person, type Said } from './long-build-story.ts';

const minute = 60_000;
const hour = 60 * minute;
const day = 24 * hour;
/** From the start of one job to that of the next: whole days, so that every job has the same times of day. */
const perJob = 3 * day;
/** Long enough ago that 2,000 jobs are over by now. */
const begun = Date.parse('2008-01-07T08:00:00Z');
const offset = 60;

const secrets = {
  ines: secretFromSeed(new Uint8Array(32).fill(1)),
  tobias: secretFromSeed(new Uint8Array(32).fill(2)),
};
const signers = { ines: makeSigner(secrets.ines), tobias: makeSigner(secrets.tobias) };
/** Each person writes on a machine of their own. */
const writers = { ines: 'inesaaaa', tobias: 'tobiasaa' } as const;

const buildFile = `aircraft: { model: Ottermere A-1, kit: Halden Reach Aeroworks, serial: '014' }
people:
  - { person: ines, name: Ines Varrow, powers: [builder] }
  - { person: tobias, name: Tobias Hesk, powers: [inspector] }
gates: [hull-close, cover, first-flight]
tools:
  - { tool: FG-1, kind: feeler-gauge }
  - { tool: CA-1, kind: caliper }
  - { tool: TW-1, kind: torque-wrench }
`;

/** What a long build leaves, for whoever goes on with it. */
export interface LongBuild {
  readonly entries: number;
  /** All signatures in its journal: those of the lines, those beside them, and those of answers to holds. */
  readonly signatures: number;
  /** The private key of its builder, `ines`, without a passphrase: `--key FILE`. */
  readonly key: string;
  /** The same of its inspector, `tobias`. */
  readonly inspectorKey: string;
  /** The job that is under way. */
  readonly job: string;
}

const valueOf = <T>(outcome: Outcome<T>, said: unknown): T => {
  if (!outcome.ok) throw new Error(`${JSON.stringify(said)}: ${outcome.fault.code} ${outcome.fault.what}`);
  return outcome.value;
};

/** An entry as it was written. */
interface Written {
  readonly by: Person;
  readonly type: string;
  /** Since the start of its job, ms. */
  readonly after: number;
  readonly data: Data;
}

/** One whole job, as the rules decided it, and what of its texts is its own. */
interface Pattern {
  readonly number: number;
  readonly seq: number;
  readonly job: string;
  readonly hashes: readonly string[];
  readonly written: readonly Written[];
}

/** The lines of a build, kept until enough are there to be written. */
const journalIn = (state: string) => {
  const heads: { [Name in Person]?: SealedLine } = {};
  const lines = { ines: [] as string[], tobias: [] as string[] };
  let [build, signatures, entries] = ['', 0, 0];
  const flush = (by: Person): void => {
    if (lines[by].length > 0)
      appendFileSync(join(state, 'journal', `${writers[by]}.jsonl`), `${lines[by].join('\n')}\n`);
    lines[by] = [];
  };
  const write = (
    ms: number,
    job: string,
    one: Omit<Written, 'after'>,
    others: readonly CoSigner[] = [],
  ): SealedLine => {
    const { by, type, data } = one;
    const [before, other] = [heads[by], by === 'ines' ? 'tobias' : 'ines'] as const;
    const seen = heads[other] === undefined ? {} : { [writers[other]]: heads[other].hash };
    const place = { build, writer: writers[by], seq: (before?.line.seq ?? 0) + 1, prev: before?.hash ?? '', seen };
    const of = { job: type === 'start' || type === 'temperature' ? '' : job, at: printInstant(ms, offset), by, type };
    const sealed = valueOf(signLine({ v: 1, ...place, ...of, data: data as JsonObject }, signers[by], others), one);
    if (build === '') build = sealed.hash;
    heads[by] = sealed;
    entries += 1;
    signatures += 1 + others.length + (isLookVerb(type) ? 1 : 0);
    if (lines[by].push(sealed.text) >= 5000) flush(by);
    return sealed;
  };
  const end = (): Pick<LongBuild, 'entries' | 'signatures'> => {
    flush('ines');
    flush('tobias');
    return { entries, signatures };
  };
  return { write, end, nextSeq: () => (heads.ines?.line.seq ?? 0) + 1 };
};

/**
 * Jobs of one kind differ in nothing but numbers, days and hashes: their values are equal, and so is the length of every number in
 * them, by which the tables of a signed sheet are set.
 */
const kindOf = (number: number, seq: number): string =>
  [number % 9, ...[number, seq, seq + 120].map((one) => String(one).length)].join();

const varying =
  /inesaaaa:\d+|\b\d{4}-\d\d-\d\d|\b[0-9a-f]{64}\b|\b[BST]-\d+|plug \d+|\bL-\d+|rib-bond-[0-9a-f]{6}|\bstation s\d+/g;

/** The text of one job made into that of another of the same kind. */
const translated = (from: Pattern, to: { number: number; seq: number; job: string; hashes: string[] }) => {
  const numbers = new Map(from.hashes.map((hash, index) => [hash, index]));
  const days = ((to.number - from.number) * perJob) / day;
  const dates = new Map<string, string>();
  const dateOf = (text: string): string => {
    const known = dates.get(text) ?? new Date(Date.parse(text) + days * day).toISOString().slice(0, 10);
    dates.set(text, known);
    return known;
  };
  return (text: string): string =>
    text.replaceAll(varying, (found) => {
      if (found.startsWith('inesaaaa:')) return `inesaaaa:${Number(found.slice(9)) - from.seq + to.seq}`;
      if (found.startsWith('rib-bond-')) return to.job;
      if (found.startsWith('station')) return `station s${(to.number % 12) + 1}`;
      if (found.startsWith('L-')) return `L-${Math.floor(to.number / 10) + 100}`;
      if (found.startsWith('plug')) return `plug ${to.number}`;
      if (found[1] === '-') return `${found[0]}-${to.number}`;
      if (found.length === 64) return to.hashes[numbers.get(found) ?? -1] ?? found;
      return found === '2099-12-31' ? found : dateOf(found);
    });
};

const nonceOf = (job: string): string => sha256Hex(job).slice(0, 32);

/** The answer to a hold that fits another job, signed. */
const translatedAnswer = (text: string, job: string, by: Person): Data => {
  const answer = JSON.parse(text) as { readonly inspected: readonly string[] };
  const fitting = { ...answer, nonce: nonceOf(job), digest: digestOf(answer.inspected) };
  const whole = `${JSON.stringify(fitting, null, 2)}\n`;
  return { answer: whole, 'answer-sig': valueOf(signers[by].signArmored(namespaces.hold, whole), job) };
};

/**
 * Writes a state as it is after years: each job has a hundred entries of every common kind, signed by a builder and an inspector, who
 * have a machine each. The rules decide one job of each kind; the others are the same with other numbers, days and hashes, so that
 * `verify` finds nothing wrong in any of them. The last job is under way. The same number of jobs always gives the same bytes.
 * 2,000 jobs have 200,000 entries and 202,000 signatures. The records of the completed jobs are left owed.
 * @param state the folder to be made; the builder's private key is written beside it.
 */
export const longBuild = (state: string, jobs: number): LongBuild => {
  const [sha256, buildSha256] = [sha256Hex(longBuildProcedure), sha256Hex(buildFile)];
  for (const name of ['journal', 'procedures', 'builds']) mkdirSync(join(state, name), { recursive: true });
  writeFileSync(join(state, 'procedures', `${sha256}.yaml`), longBuildProcedure);
  writeFileSync(join(state, 'builds', `${buildSha256}.yaml`), buildFile);
  writeFileSync(join(state, 'build.yaml'), buildFile);
  writeFileSync(join(state, '.gitattributes'), '* -text\n');
  const signing = (['ines', 'tobias'] as const).map((person) => ({ person, key: signers[person].publicKey }));
  writeFileSync(join(state, 'allowed_signers'), writeSigners(signing));
  const key = `${state}.key`;
  writeFileSync(key, writeKeyFile(secrets.ines, 'ines'), { mode: 0o600 });
  const inspectorKey = `${state}.inspector.key`;
  writeFileSync(inspectorKey, writeKeyFile(secrets.tobias, 'tobias'), { mode: 0o600 });

  const library = textLibrary(realDisk, state);
  const journal = journalIn(state);
  let build: BuildState = emptyBuild;
  let job = '';
  const enter = (ms: number, one: Omit<Written, 'after'>, others: readonly CoSigner[] = []): string => {
    const sealed = journal.write(ms, job, one, others);
    build = valueOf(evolveBuild(build, valueOf(readEntry(entryOfLink(sealed)), one), library), one);
    return sealed.hash;
  };
  const answered = ({ by, verb }: Said, data: Data): Data => {
    const within = jobOf(build, job);
    const { step } = data;
    if (!isLookVerb(verb) || within === undefined || typeof step !== 'string') return data;
    const wish = { job: within, step, answer: verb, person: by, data, nonce: nonceOf(job) };
    const answer = valueOf(answerText(build, wish), data);
    return { ...data, answer, 'answer-sig': valueOf(signers[by].signArmored(namespaces.hold, answer), data) };
  };
  const began = (number: number): number => begun + (number - 1) * perJob;
  const start: Said = { after: 0, by: 'ines', verb: 'start', data: { procedure: 'rib-bond', revision: 'A', sha256 } };

  /** Nothing in one of these jobs depends on another, so each is decided in a build without the others, which takes far less time. */
  const decided = (number: number, said: readonly Said[], alone: BuildState): Pattern => {
    const counted = { [writers.ines]: number - 1 };
    build = { ...alone, batches: counted, tags: counted };
    const seq = journal.nextSeq();
    const [hashes, written]: [string[], Written[]] = [[], []];
    for (const one of said) {
      const { after, by, verb } = one;
      const at = printInstant(began(number) + after, offset);
      const command = { verb, job: verb === 'start' ? '' : job, by, at, data: one.data, writer: writers[by] };
      const data = answered(one, valueOf(decideBuild(build, command, library), command).data);
      written.push({ by, type: verb, after, data });
      hashes.push(enter(began(number) + after, { by, type: verb, data }));
      if (verb === 'start') job = build.jobOrder.at(-1) ?? '';
    }
    return { number, seq, job, hashes, written };
  };
  const copied = (number: number, pattern: Pattern): void => {
    const to = { number, seq: journal.nextSeq(), job: '', hashes: [] as string[] };
    const translate = translated(pattern, to);
    for (const { by, type, after, data } of pattern.written) {
      const plain = JSON.parse(translate(JSON.stringify(data))) as Data;
      const { answer } = plain;
      const whole = typeof answer === 'string' ? { ...plain, ...translatedAnswer(answer, to.job, by) } : plain;
      const { hash } = journal.write(began(number) + after, to.job, { by, type, data: whole });
      to.hashes.push(hash);
      if (type === 'start') job = to.job = `rib-bond-${hash.slice(0, 6)}`;
    }
  };

  const introduced = begun - hour;
  const first = { person: 'ines', name: 'Ines Varrow', key: signers.ines.publicKey.text };
  const second = { person: 'tobias', name: 'Tobias Hesk', key: signers.tobias.publicKey.text, powers: ['inspector'] };
  enter(introduced, { by: 'ines', type: 'key', data: first });
  enter(introduced, { by: 'tobias', type: 'key', data: second }, [{ by: 'ines', signer: signers.ines }]);
  enter(introduced, { by: 'ines', type: 'build', data: { sha256: buildSha256 } });
  const alone = build;
  const patterns = new Map<string, Pattern>();
  for (let number = 1; number <= jobs; number += 1) {
    const said = [start, ...storyOf(number)];
    const kind = kindOf(number, journal.nextSeq());
    const pattern = patterns.get(kind);
    if (number === jobs) decided(number, said.slice(0, 46), alone);
    else if (pattern === undefined) patterns.set(kind, decided(number, said, alone));
    else copied(number, pattern);
  }
  return { ...journal.end(), key, inspectorKey, job };
};

/** A long build and one of two jobs, for measures that compare the two. */
export interface Builds {
  readonly long: LongBuild;
  readonly short: LongBuild;
}

const made = new Map<string, Builds>();

/**
 * The states `long` (2,000 jobs) and `short` (2 jobs) in a folder, made when they are first asked for, which takes a minute. Whoever
 * writes in one copies it first.
 */
export const buildsIn = (folder: string): Builds => {
  const known = made.get(folder) ?? {
    long: longBuild(join(folder, 'long'), 2000),
    short: longBuild(join(folder, 'short'), 2),
  };
  made.set(folder, known);
  return known;
};
