import type { BuildState } from '../aircraft/state.ts';
import { err, ok, refusal, type Fault, type Outcome } from '../fault/fault.ts';
import type { Data } from '../job/entry.ts';
import { journalDoubt } from '../job/line-types.ts';
import type { JsonObject } from '../proof/canonical.ts';
import type { Link } from '../proof/chain.ts';
import { signLine, type CoSigner, type Signer } from '../signing/signer.ts';
import type { Facts } from '../store/disk.ts';
import type { Notice } from '../store/disk-fault.ts';
import { journalFile } from '../store/layout.ts';
import type { SnapshotFile } from '../store/opening-files.ts';
import type { Appender } from '../store/journal-append.ts';
import type { RunClock } from './clock.ts';
import { foldOne, type FoldOptions } from './journal/fold.ts';
import type { PublicKeyReader } from './journal/public-keys.ts';
import type { TextLibrary } from './journal/library.ts';
import type { SnapshotRead } from './opening/snapshot-read.ts';
import type { Workplace } from './place.ts';
import type { KnownFile } from './procedures/known-files.ts';

/** What is known of an open state folder, and what is needed to write in it. This is the only object of the workshop that changes. */
export interface OpenState {
  readonly place: Workplace;
  readonly clock: RunClock;
  readonly library: TextLibrary;
  readonly read: PublicKeyReader;
  /** The newest line of each writer, by the writer's name. */
  readonly heads: Map<string, Link>;
  readonly notices: Notice[];
  /** The last line of all writers, in causal order. */
  last?: Link;
  state: BuildState;
  /** The files that the build was read from, with their facts before they were read. */
  readonly watched: Map<string, Facts>;
  /** True where no line lacks its line feed, but for torn ones. */
  isWhole: boolean;
  /** The files that end in a torn line, with the length of what is whole, in bytes. */
  readonly torn: Map<string, number>;
  /** True where the cache folder already has what the next opening needs. */
  isKept: boolean;
  /** The jobs whose record is owed. Absent where that is not known; then every job is checked before the first entry. */
  owed?: readonly string[];
  /** The snapshot in the cache folder, if it is one of this build. */
  snapshot?: SnapshotFile;
  /** The same, open: jobs are read from it when they are first needed. */
  snapshotRead?: SnapshotRead;
  /** Writes lines; absent where nothing may be written. */
  appender?: Appender;
  /** Where this machine's file of before ended, which could not be continued: the first line of the new one says it. */
  doubted?: string;
  /** Why nothing may be written. */
  closed?: Fault;
  /** What the procedures folder held when an entry last looked at it. */
  folder?: readonly KnownFile[];
}

/** What the caller gives for a line. The open state adds the rest. */
export interface Draft {
  readonly type: string;
  readonly by: string;
  readonly job: string;
  readonly at: string;
  readonly when?: string;
  readonly data: Data;
}

/** Who signs a line: the person whose line it is, and those who must sign too. */
export interface LineSigners {
  readonly signer: Signer;
  readonly others?: readonly CoSigner[];
}

const readOnly = refusal('read-only', 'this state is open for reading only', 'close the other dryfit first');

/** Why nothing may be written, or `undefined`. */
export const writingFault = ({ closed, appender, place }: OpenState): Fault | undefined =>
  closed ?? place.away?.() ?? (appender === undefined ? readOnly : undefined);

export const foldOptions = (openState: OpenState): FoldOptions => ({
  library: openState.library,
  read: openState.read,
});

/**
 * Writes one line: it is signed, folded, written to the disk and applied, in that order. After a fault nothing has changed. A
 * line that could not be folded again is never written.
 */
export const writeLine = (openState: OpenState, draft: Draft, signers: LineSigners): Outcome<Link> => {
  const { appender, state } = openState;
  const fault = writingFault(openState);
  if (fault !== undefined || appender === undefined) return err(fault ?? readOnly);
  const head = appender.head();
  const seen = Object.fromEntries(
    [...openState.heads].filter(([writer]) => writer !== appender.writer).map(([writer, link]) => [writer, link.hash]),
  );
  const sealed = signLine(
    {
      v: 1,
      build: state.build,
      writer: appender.writer,
      seq: (head?.line.seq ?? 0) + 1,
      prev: head?.hash ?? '',
      seen,
      at: draft.at,
      ...(draft.when === undefined ? {} : { when: draft.when }),
      by: draft.by,
      job: draft.job,
      type: draft.type,
      data: {
        ...(draft.data as JsonObject),
        ...(head === undefined && openState.doubted !== undefined ? { [journalDoubt]: openState.doubted } : {}),
      },
    },
    signers.signer,
    signers.others,
  );
  if (!sealed.ok) return sealed;
  const link = { line: sealed.value.line, hash: sealed.value.hash };
  const next = foldOne(state, link, foldOptions(openState));
  if (!next.ok) return next;
  const file = journalFile(appender.writer);
  const written = appender.append(sealed.value);
  // after a change by another program the next opening must read the whole file
  openState.isWhole &&= !appender.wasTouched();
  if (!written.ok) return written;
  openState.heads.set(appender.writer, link);
  openState.last = link;
  openState.state = next.value;
  openState.isKept = false;
  const facts = appender.facts();
  if (facts !== undefined) openState.watched.set(file, facts);
  return ok(link);
};
