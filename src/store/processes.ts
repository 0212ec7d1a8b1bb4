import { execFileSync } from 'node:child_process';
import { readFileSync, readlinkSync } from 'node:fs';
import { hostname, platform } from 'node:os';
import { sha256Hex } from '../proof/hash.ts';

/**
 * What this process can know of another: it runs; it has ended; or it belongs to another container or machine, where only somebody
 * there can know.
 */
export type Fate = 'alive' | 'dead' | 'elsewhere';

/**
 * Identifies processes, even after their number was given to another process. A name is `PID-BIRTH-BOOT-SPACE-HOST` of letters and
 * digits: when the process started, which start of the machine it was, in which namespaces its number counts, and on which machine.
 * No two processes ever have the same name.
 */
export interface Processes {
  /** The name of this process. */
  me(): string;
  fate(name: string): Fate;
}

const quiet = <T>(work: () => T): T | undefined => {
  try {
    return work();
  } catch {
    return undefined;
  }
};

const unknown = 'unknown';
/** In the place of a birth: the process is dead, until its parent asks for its exit status. */
const ended = 'ended';

/** On Linux, how many ticks after the machine's start a process started: field 22 of proc(5) `stat`. */
const birthByProc = (pid: number): string | undefined =>
  quiet(() => {
    const stat = readFileSync(`/proc/${pid}/stat`, 'latin1');
    // the second field is the program's name in brackets, and may itself hold spaces and brackets
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    return fields[0] === 'Z' || fields[0] === 'X' ? ended : fields[19];
  });

/** On other systems: when the process started, to the second, as `ps` prints it. */
const birthByPs = (pid: number): string | undefined =>
  quiet(() => {
    const printed = execFileSync('ps', ['-o', 'lstart=', '-p', String(pid)], {
      encoding: 'latin1',
      timeout: 2000,
      env: {},
    });
    const birth = printed.replaceAll(/[^A-Za-z0-9]+/g, '');
    return birth === '' ? undefined : birth;
  });

/** The number of a namespace, such as 4026531836 of `pid:[4026531836]`. */
const namespace = (kind: string): string | undefined =>
  quiet(() => /\d+/.exec(readlinkSync(`/proc/self/ns/${kind}`))?.[0]);

/** Where this process runs: what a name says beside the number and the birth. */
interface Where {
  readonly boot: string;
  /** `unknown` where the system has no such namespaces, or does not say which these are. */
  readonly space: string;
  readonly host: string;
  /** True where `/proc` shows the processes by the numbers that count for this one. */
  readonly hasProc: boolean;
}

const whereAmI = (): Where => {
  const hasProc = platform() === 'linux' && quiet(() => readlinkSync('/proc/self')) === String(process.pid);
  const machine = quiet(() => readFileSync('/etc/machine-id', 'latin1').trim()) ?? '';
  const boot = hasProc ? quiet(() => readFileSync('/proc/sys/kernel/random/boot_id', 'latin1').slice(0, 8)) : undefined;
  const pid = hasProc ? namespace('pid') : undefined;
  // the time namespace too, because births are counted in it
  const space = pid === undefined ? undefined : `${pid}t${namespace('time') ?? ''}`;
  return {
    boot: boot ?? unknown,
    space: space ?? unknown,
    host: sha256Hex(`${hostname()} ${machine}`).slice(0, 8),
    hasProc,
  };
};

const hasPid = (pid: number): boolean => {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM'; // it exists, and belongs to another user
  }
};

const birthOf = (pid: number, { hasProc }: Where): string | undefined => {
  if (hasProc) return birthByProc(pid);
  return platform() === 'win32' ? undefined : birthByPs(pid);
};

/** True where a number that no process has means that there is no such process: the system has no namespaces, or this one is known. */
const numbersCount = ({ space }: Where): boolean =>
  space !== unknown || platform() === 'darwin' || platform() === 'win32';

const fateHere = (pid: number, birth: string, here: Where): Fate => {
  if (!hasPid(pid)) return numbersCount(here) ? 'dead' : 'elsewhere';
  const now = birthOf(pid, here);
  // a process whose birth cannot be read may be the one that is meant
  return now === undefined || birth === unknown || now === birth ? 'alive' : 'dead';
};

const form =
  /^(?<pid>[1-9]\d*)-(?<birth>[A-Za-z0-9]+)-(?<boot>[A-Za-z0-9]+)-(?<space>[A-Za-z0-9]+)-(?<host>[A-Za-z0-9]+)$/;

const fate = (name: string): Fate => {
  const { pid = '', birth = '', boot = '', space = '', host = '' } = form.exec(name)?.groups ?? {};
  if (pid === '') return 'elsewhere'; // a name that this dryfit did not give
  const here = whereAmI();
  if (boot === here.boot && space === here.space && (boot !== unknown || host === here.host))
    return fateHere(Number(pid), birth, here);
  // this machine was started anew since; all that ran before has ended
  return host === here.host && boot !== here.boot && boot !== unknown && here.boot !== unknown ? 'dead' : 'elsewhere';
};

/** The processes of this machine. On Windows only the number identifies a process. */
export const realProcesses: Processes = {
  me: () => {
    const here = whereAmI();
    const birth = birthOf(process.pid, here) ?? unknown;
    return `${process.pid}-${birth}-${here.boot}-${here.space}-${here.host}`;
  },
  fate,
};
