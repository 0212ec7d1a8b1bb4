import { struckIn } from '../job/struck.ts';
import { correctionsOf } from './corrections.ts';
import { struckOf } from './struck.ts';
import type { Surroundings, LotNow } from '../job/surroundings.ts';
import { gateItemWords } from '../job/gate-sheet.ts';
import type { JobState } from '../job/state.ts';
import { idOrName } from '../job/people.ts';
import { isBreachKey } from '../job/breach.ts';
import { nonconformances } from '../job/nonconformances.ts';
import {
  recordVersion,
  type RecordDeparture,
  type RecordDisposition,
  type RecordDocument,
  type RecordNonconformance,
} from './document.ts';
import { recordLooseOf } from './parts/loose.ts';
import { recordPhotosOf } from './parts/photo.ts';
import { recordPeopleOf } from './people.ts';
import { ifSo, present, recordStampOf, unlessEmpty } from './plain.ts';
import { cautionsOf, signedMeans } from './statement.ts';
import { partsOfNoStep } from './taken.ts';
import { stepRecorded } from './steps.ts';
import { toolsOf } from './tools.ts';

/** What a record says of the build around its job. */
export interface RecordBuild {
  /** SHA-256 of the build's first journal line. */
  readonly build: string;
  /** Of the text of build.yaml in force. */
  readonly sha256?: string;
  readonly scripted: boolean;
  /** Name and value, in the order of build.yaml. */
  readonly aircraft: RecordDocument['build']['aircraft'];
  /** Person → fingerprints of their keys. */
  readonly keys: Readonly<Record<string, readonly string[]>>;
}

/** The last line of the journal that the record knows of. */
export interface RecordHead {
  readonly writer: string;
  readonly seq: number;
  readonly hash: string;
}

const jobOf = (job: JobState): RecordDocument['job'] => {
  const { title, manual, purpose, strict, warnings } = job.plan;
  return present({
    job: job.id,
    procedure: job.procedure,
    title,
    revision: job.revision,
    manual,
    sha256: job.sha256,
    side: job.side,
    purpose,
    strict: ifSo(strict),
    warnings: unlessEmpty(warnings),
    started: recordStampOf(job.started),
    completed: job.completed && recordStampOf(job.completed),
    reopened: job.reopened && recordStampOf(job.reopened),
    withdrawn: job.withdrawn && { because: job.withdrawn.because, ...recordStampOf(job.withdrawn) },
  });
};

/** Everybody named is recorded by their id where the build knows them. */
const namesIn =
  ({ people }: Surroundings) =>
  (typed: string | undefined): string | undefined =>
    typed === undefined ? undefined : idOrName(Object.values(people), typed);

const departuresOf = (job: JobState, around: Surroundings): readonly RecordDeparture[] =>
  job.departures.map(({ code, step, says, did, because, agreed, agreedBy, weight, access, steps, excepts, ...stamp }) =>
    present({
      code,
      step,
      says,
      did,
      because,
      agreed: agreedBy ?? namesIn(around)(agreed),
      agreement:
        agreed === undefined
          ? undefined
          : agreedBy === undefined
            ? ('by word, not signed' as const)
            : ('signed here' as const),
      weight,
      access,
      steps,
      excepts: excepts && excepts.items.map(gateItemWords),
      ...recordStampOf(stamp),
    }),
  );

const dispositionsOf = (job: JobState, around: Surroundings): readonly RecordDisposition[] =>
  job.dispositions.map(
    ({ on, step, kind, reason, fastener, position, n, acceptedBy, letter, author, covers, ...stamp }) =>
      present({
        on,
        step,
        as: kind === 'ask' ? ('ask the designer' as const) : kind,
        reason,
        fastener,
        position,
        n,
        'accepted-by': acceptedBy,
        accepted:
          acceptedBy !== undefined
            ? ('signed here' as const)
            : letter === undefined
              ? undefined
              : ('by letter, not signed here' as const),
        author: namesIn(around)(author),
        letter,
        covers,
        ...recordStampOf(stamp),
      }),
  );

const nonconformancesOf = (job: JobState, around: Surroundings): readonly RecordNonconformance[] =>
  nonconformances(job, around).map(({ on, step, what, key, open, disposition }) =>
    present({ on, step, what, refused: ifSo(isBreachKey(key)), open, disposition: disposition?.entry }),
  );

/** The moves to other revisions, and what was decided about their changes. */
const revisionsOf = (job: JobState): Pick<RecordDocument, 'moves' | 'decisions'> =>
  present({
    moves: unlessEmpty(
      job.moves.map(({ revision, sha256, from, renamed, reopened, ...stamp }) =>
        present({
          from,
          to: { revision, sha256 },
          renamed: unlessEmpty(Object.entries(renamed).map(([old, now]) => ({ old, new: now }))),
          reopened,
          ...recordStampOf(stamp),
        }),
      ),
    ),
    decisions: unlessEmpty(
      job.resolutions.map(({ on, kind, reason, revision, sha256, covers, ...stamp }) =>
        present({ on, as: kind, reason, revision, sha256, covers, ...recordStampOf(stamp) }),
      ),
    ),
  });

/** The steps of the revision that the job follows, then those that only an earlier one had: what was entered there stays. */
const stepsOf = (job: JobState, around: Surroundings): RecordDocument['steps'] => {
  const now = job.plan.steps.map((step, index) => stepRecorded(job, step, index + 1, around));
  const former = job.former.map((step, index) => stepRecorded(job, step, now.length + index + 1, around, job.revision));
  return [...now, ...former];
};

const pausesOf = (job: JobState): Pick<RecordDocument, 'parks' | 'interruptions' | 'taken-up'> => ({
  parks: job.parks.map(({ because, waitsFor, state, where, photo, ended, ...stamp }) =>
    present({
      because,
      'waits-for': waitsFor,
      state,
      where,
      photo,
      ...recordStampOf(stamp),
      ended: ended && present({ arrived: ended.arrived, ...recordStampOf(ended) }),
    }),
  ),
  interruptions: job.interruptions.map(({ resumed, ...stamp }) =>
    present({
      ...recordStampOf(stamp),
      resumed: resumed && { rechecked: resumed.rechecked, ...recordStampOf(resumed) },
    }),
  ),
  ...present({
    'taken-up': unlessEmpty(
      job.takenUp.map(({ rechecked, arrived, ...stamp }) => present({ rechecked, arrived, ...recordStampOf(stamp) })),
    ),
  }),
});

/** How a lot came to be used after its use-by: until which day, and on what evidence. */
const extensionOf = (lot: LotNow | undefined): RecordDocument['lots'][number]['extended'] =>
  lot?.extended && present({ ...lot.extended });

const shopOf = (job: JobState, around: Surroundings): Pick<RecordDocument, 'lots' | 'shop'> => ({
  lots: job.lots.map(({ material, number, part, made, useBy, stockMade, stockUseBy, ...stamp }) =>
    present({
      material,
      number,
      part,
      made,
      'use-by': useBy,
      'stock-made': stockMade,
      'stock-use-by': stockUseBy,
      extended: extensionOf(around.lot(material, number)),
      ...recordStampOf(stamp),
    }),
  ),
  shop: job.shop.map(({ temperature, surface, humidity, ...stamp }) =>
    present({
      temperature,
      surface,
      humidity,
      struck: unlessEmpty(struckOf(struckIn(job, stamp.entry))),
      ...recordStampOf(stamp),
    }),
  ),
});

/** Advice is an opinion, and is kept apart from the builder's own remarks. */
const saidOf = (job: JobState, around: Surroundings): Pick<RecordDocument, 'remarks' | 'advice'> => ({
  remarks: job.remarks
    .filter(({ from }) => from === undefined)
    .map(({ text, step, ...stamp }) => present({ text, step, ...recordStampOf(stamp) })),
  advice: job.remarks.flatMap(({ from, text, step, ...stamp }) =>
    from === undefined ? [] : [present({ from: namesIn(around)(from) ?? from, text, step, ...recordStampOf(stamp) })],
  ),
});

const followUpsOf = (job: JobState): RecordDocument['follow-ups'] =>
  job.plan.steps.flatMap(({ step, title, again }) =>
    again ? [present({ step, title, at: again.at, every: again.every, count: again.count })] : [],
  );

const journalOf = (job: JobState, head: RecordHead): RecordDocument['journal'] => ({
  ...head,
  entries: job.log.map(({ hash, type, step, also, doubtful, ...stamp }) =>
    present({ ...recordStampOf(stamp), hash, type, step, also: unlessEmpty(also), doubtful }),
  ),
});

/**
 * The record of a job as it is now: plain data, the same for the same journal, whoever makes it.
 * `previous` is the SHA-256 of the record.json that this one follows, and `signer` the builder who signs it. A job that is not complete
 * has a record too, which says so.
 */
export const recordOf = (
  job: JobState,
  around: Surroundings,
  build: RecordBuild,
  head: RecordHead,
  previous?: string,
  signer = (job.completed ?? job.started).by,
): RecordDocument => ({
  record: 'dryfit',
  v: recordVersion,
  ...present({ scripted: ifSo(build.scripted) }),
  statement: { signed: signedMeans, cautions: cautionsOf(build.scripted) },
  build: present({
    build: build.build,
    sha256: build.sha256,
    aircraft: build.aircraft,
  }),
  job: jobOf(job),
  ...present({ previous }),
  signer,
  people: recordPeopleOf(job, around, build.keys, signer),
  departures: departuresOf(job, around),
  nonconformances: nonconformancesOf(job, around),
  dispositions: dispositionsOf(job, around),
  ...present({ corrections: unlessEmpty(correctionsOf(job, around)) }),
  loose: recordLooseOf(job),
  ...revisionsOf(job),
  steps: stepsOf(job, around),
  photos: recordPhotosOf(job),
  ...shopOf(job, around),
  ...present({ parts: unlessEmpty(partsOfNoStep(job)) }),
  tools: toolsOf(job, around),
  ...pausesOf(job),
  ...saidOf(job, around),
  'follow-ups': followUpsOf(job),
  journal: journalOf(job, head),
});

/**
 * The text of record.json: JSON with two spaces of indent and one LF at the end, so that it can be read in any editor.
 * It needs no canonical form, for its signature is over these bytes.
 */
export const recordText = (document: RecordDocument): string => `${JSON.stringify(document, null, 2)}\n`;
