import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { platform } from 'node:os';

/**
 * Identifies processes, even after their number was given to another process. A name is `PID-BIRTH` of letters, digits and `-`.
 * No two processes of a machine ever have the same name.
 */
export interface Processes {
  /** The name of this process. */
  me(): string;
  /** True while the process with that name is running. */
  isAlive(name: string): boolean;
}

const quiet = <T>(work: () => T): T | undefined => {
  try {
    return work();
  } catch {
    return undefined;
  }
};

/**
 * On Linux: how many ticks after the machine's start the process started (field 22 of proc(5) `stat`), and which start of the
 * machine it was.
 */
const birthByProc = (pid: number): string | undefined =>
  quiet(() => {
    const stat = readFileSync(`/proc/${pid}/stat`, 'latin1');
    // the second field is the program's name in brackets, and may itself hold spaces and brackets
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    if (fields[0] === 'Z' || fields[0] === 'X') return undefined; // dead, until its parent asks for its exit status
    const ticks = fields[19];
    const boot = readFileSync('/proc/sys/kernel/random/boot_id', 'latin1').slice(0, 8);
    return ticks === undefined ? undefined : `${ticks}-${boot}`;
  });

/** On other systems: when the process started, to the second, as `ps` prints it. */
const birthByPs = (pid: number): string | undefined =>
  quiet(() => {
    const printed = execFileSync('ps', ['-o', 'lstart=', '-p', String(pid)], {
      encoding: 'latin1',
      timeout: 2000,
      env: {},
    });
    return printed.trim() === '' ? undefined : printed.trim().replaceAll(/[^A-Za-z0-9]+/g, '-');
  });

const birthOf = (pid: number): string | undefined => {
  if (platform() === 'linux') return birthByProc(pid);
  if (platform() === 'win32') return hasPid(pid) ? 'unknown' : undefined;
  return birthByPs(pid);
};

const hasPid = (pid: number): boolean => {
  try {
    process.kill(pid, 0);
    return true;
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM'; // it exists, and belongs to another user
  }
};

const nameOf = (pid: number): string => `${pid}-${birthOf(pid) ?? 'unknown'}`;

/** The processes of this machine. On Windows only the number identifies a process. */
export const realProcesses: Processes = {
  me: () => nameOf(process.pid),
  isAlive: (name) => {
    const pid = Number(/^\d+/.exec(name)?.[0]);
    return Number.isSafeInteger(pid) && pid > 0 && hasPid(pid) && nameOf(pid) === name;
  },
};
