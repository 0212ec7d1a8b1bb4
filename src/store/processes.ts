import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { platform } from 'node:os';

/**
 * Tells processes apart, also after their number was given to another. A name is `PID-BIRTH` of letters, digits and `-`;
 * two processes of one machine never have the same.
 */
export interface Processes {
  /** The name of this process. */
  me(): string;
  /** True while the process of that name runs. */
  isAlive(name: string): boolean;
}

const quiet = <T>(work: () => T): T | undefined => {
  try {
    return work();
  } catch {
    return undefined;
  }
};

/** Linux: ticks from the machine's start to the process's, field 22 of proc(5) `stat`, and which start of the machine. */
const birthByProc = (pid: number): string | undefined =>
  quiet(() => {
    const stat = readFileSync(`/proc/${pid}/stat`, 'latin1');
    // the second field is the program's name in brackets, and may itself hold spaces and brackets
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    if (fields[0] === 'Z' || fields[0] === 'X') return undefined; // dead, and only waiting for its parent to look
    const ticks = fields[19];
    const boot = readFileSync('/proc/sys/kernel/random/boot_id', 'latin1').slice(0, 8);
    return ticks === undefined ? undefined : `${ticks}-${boot}`;
  });

/** Elsewhere: when it began, to the second, as `ps` prints it. */
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
    return (error as NodeJS.ErrnoException).code === 'EPERM'; // there, and somebody else's
  }
};

const nameOf = (pid: number): string => `${pid}-${birthOf(pid) ?? 'unknown'}`;

/** The processes of this machine. On Windows a process is told by its number alone. */
export const realProcesses: Processes = {
  me: () => nameOf(process.pid),
  isAlive: (name) => {
    const pid = Number(/^\d+/.exec(name)?.[0]);
    return Number.isSafeInteger(pid) && pid > 0 && hasPid(pid) && nameOf(pid) === name;
  },
};
