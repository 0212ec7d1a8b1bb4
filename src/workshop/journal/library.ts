import type { BuildFile } from '../../aircraft/file.ts';
import { readBuildFile } from '../../aircraft/file.ts';
import type { Library } from '../../aircraft/library.ts';
import { err, ok, wrong, type Outcome } from '../../fault/fault.ts';
import type { Log } from '../../job/logger/log.ts';
import { readLog } from '../../job/logger/read.ts';
import { readBytes } from '../../procedure/load.ts';
import type { Procedure } from '../../procedure/model.ts';
import type { Disk } from '../../store/disk.ts';
import { extensionOf, readHashed } from '../../store/hashed-file.ts';

/** A library that can also be given a text before the journal names it. */
export interface TextLibrary extends Library {
  readonly put: (sha256: string, procedure: Procedure) => void;
  readonly putBuild: (sha256: string, build: BuildFile) => void;
  readonly putLog: (sha256: string, bytes: Uint8Array) => void;
}

/** Called with the path of each text before it is read. */
type Watch = (path: string) => void;

/** Reads a text that the journal names. A missing one is reported as damage of the state. */
const named = (disk: Disk, state: string, folder: 'procedures' | 'builds', sha256: string): Outcome<Uint8Array> => {
  const bytes = readHashed(disk, state, folder, sha256, 'yaml');
  if (bytes.ok || bytes.fault.code !== 'file-missing') return bytes;
  const where = `${folder}/${sha256}.yaml`;
  return err(
    wrong('text-missing', 'a text that the journal names is not there', 'bring the file back from a copy', where),
  );
};

const remembered = <T>(folder: string, watch: Watch, read: (sha256: string) => Outcome<T>) => {
  const known = new Map<string, Outcome<T>>();
  return {
    get: (sha256: string): Outcome<T> => {
      const before = known.get(sha256);
      if (before !== undefined) return before;
      watch(`${folder}/${sha256}.yaml`);
      const value = read(sha256);
      known.set(sha256, value);
      return value;
    },
    put: (sha256: string, value: T): void => {
      watch(`${folder}/${sha256}.yaml`);
      known.set(sha256, ok(value));
    },
  };
};

/** Logs from `attachments/`. Each is read once for each set of words that say how to read it. */
const logsOf = (disk: Disk, state: string, watch: Watch): Pick<TextLibrary, 'log' | 'putLog'> => {
  const known = new Map<string, Outcome<Log>>();
  const put = new Map<string, Uint8Array>();
  return {
    putLog: (sha256, bytes) => void put.set(sha256, bytes),
    log: ({ sha256, file }, words) => {
      const extension = extensionOf(file);
      watch(`attachments/${sha256}.${extension}`);
      const key = JSON.stringify([sha256, extension, words]);
      const before = known.get(key);
      if (before !== undefined) return before;
      const held = put.get(sha256);
      const bytes = held ? ok(held) : readHashed(disk, state, 'attachments', sha256, extension);
      const log = bytes.ok ? readLog(bytes.value, file, words) : bytes;
      // the file is on the disk by now, so its bytes need not be kept in memory
      put.delete(sha256);
      known.set(key, log);
      return log;
    },
  };
};

/** The exact texts that entries name, from `procedures/` and `builds/`, each read once. */
export const textLibrary = (disk: Disk, state: string, watch: Watch = () => {}): TextLibrary => {
  const procedures = remembered<Procedure>('procedures', watch, (sha256) => {
    const path = `procedures/${sha256}.yaml`;
    const bytes = named(disk, state, 'procedures', sha256);
    if (!bytes.ok) return bytes;
    const { procedure, messages } = readBytes(bytes.value, path, { checks: false });
    const [first] = messages;
    return procedure === undefined
      ? err(
          wrong(
            'text-unreadable',
            `this dryfit cannot read a procedure that a job follows: ${first?.what ?? ''}`,
            'use the dryfit that started the job, or a later one',
            path,
          ),
        )
      : ok(procedure);
  });
  const builds = remembered<BuildFile>('builds', watch, (sha256) => {
    const path = `builds/${sha256}.yaml`;
    const bytes = named(disk, state, 'builds', sha256);
    if (!bytes.ok) return bytes;
    const { build, faults } = readBuildFile(Buffer.from(bytes.value).toString('utf8'), path);
    return build === undefined
      ? err(faults[0] ?? wrong('text-unreadable', 'the build cannot be read', 'use a later dryfit', path))
      : ok(build);
  });
  return {
    procedure: procedures.get,
    build: builds.get,
    put: procedures.put,
    putBuild: builds.put,
    ...logsOf(disk, state, watch),
  };
};
