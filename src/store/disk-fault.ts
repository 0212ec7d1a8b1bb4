import { err, isFaultError, ok, type Fault, type Outcome } from '../fault/fault.ts';

/** Something that the store did or found and that a person should know. The state has no fault. */
export interface Notice {
  /** Stable, kebab-case. */
  readonly code: string;
  readonly what: string;
  readonly where?: string;
}

/** A notice in one line. */
export const noticeLine = ({ what, where }: Notice): string => (where === undefined ? what : `${where}: ${what}`);

export const notice = (code: string, what: string, where?: string): Notice =>
  where === undefined ? { code, what } : { code, what, where };

export const diskFault = (code: string, what: string, todo: string, where?: string): Fault => ({
  kind: 'disk',
  code,
  what,
  todo,
  ...(where === undefined ? {} : { where }),
});

type Reason = readonly [code: string, what: string, todo: string];

const gone: Reason = [
  'disk-gone',
  'the disk, or the connection to it, is gone',
  'Plug it in or connect it again, then close dryfit and open it again',
];

const reasons: Readonly<Record<string, Reason>> = {
  ENOSPC: ['disk-full', 'the disk is full', 'Make room, then enter it again: nothing of it was kept'],
  EDQUOT: ['disk-full', 'your share of the disk is full', 'Make room, then enter it again: nothing of it was kept'],
  EROFS: ['disk-read-only', 'the disk can only be read', 'Make it writable, or work on a copy'],
  EACCES: ['disk-read-only', 'you may not write or read here', 'Change who may, with chmod or chown'],
  EPERM: ['disk-read-only', 'you may not write or read here', 'Change who may, with chmod or chown'],
  ENODEV: gone,
  ESTALE: gone,
  ENOTCONN: gone,
  EHOSTDOWN: gone,
  EEXIST: ['file-kind', 'something else has this name already', 'Move it away'],
  ENOENT: ['file-missing', 'there is no such file', 'Look at its name'],
  EISDIR: ['file-kind', 'a folder stands where a file belongs', 'Give a file'],
  ENOTDIR: ['file-kind', 'a file stands where a folder belongs', 'Give a folder'],
  ENAMETOOLONG: ['file-missing', 'no file can have so long a name', 'Look at its name'],
  // node's own code, for a name that holds a NUL
  ERR_INVALID_ARG_VALUE: ['file-missing', 'no file can have such a name', 'Look at its name'],
  ENXIO: ['file-kind', 'a pipe or a device stands where a file belongs', 'Put the file itself there'],
  ELOOP: ['file-kind', 'a link stands where a file belongs', 'Put the file itself there'],
};

const isSystemError = (error: unknown): error is NodeJS.ErrnoException =>
  error instanceof Error &&
  typeof (error as NodeJS.ErrnoException).code === 'string' &&
  ('syscall' in error || (error as NodeJS.ErrnoException).code === 'ERR_INVALID_ARG_VALUE');

const toFault = (error: unknown, where: string): Fault => {
  if (isFaultError(error)) return error.fault;
  if (!isSystemError(error)) throw error;
  const { code = '' } = error;
  const [name, what, todo] = reasons[code] ?? [
    'disk-failed',
    'the disk failed',
    'Look after the disk before you go on',
  ];
  return diskFault(name, `${what} (${code})`, todo, where);
};

/** Runs calls of the disk. What the system refuses becomes a fault that names the place. */
export const onDisk = <T>(where: string, work: () => T): Outcome<T> => {
  try {
    return ok(work());
  } catch (error) {
    return err(toFault(error, where));
  }
};
