import { openContradictions } from '../aircraft/state.ts';
import { asUsage, err, ok, type Outcome } from '../fault/fault.ts';
import { noticeLine } from '../store/disk-fault.ts';
import { gitIn } from '../store/git.ts';
import { takeLock } from '../store/lock.ts';
import { realProcesses } from '../store/processes.ts';
import { realState } from '../store/writers.ts';
import type { Workplace } from '../workshop/place.ts';
import { syncState } from '../workshop/sync.ts';
import { openWorkshop } from '../workshop/workshop.ts';
import { failed, wordsGiven } from './fail.ts';
import { configurationOf } from './configuration.ts';
import type { Call, CommandSpec } from './spec.ts';

/** Holds the lock of the state, so that nobody writes while git works on its files. */
const locked = <T>(place: Workplace, work: () => Outcome<T>): Outcome<T> => {
  const real = asUsage(realState(place.disk, place.state));
  if (!real.ok) return real;
  const lock = takeLock({ disk: place.disk, cache: place.cache, realState: real.value, processes: realProcesses });
  if (!lock.ok) return lock;
  try {
    return work();
  } finally {
    lock.value.release();
  }
};

/** Checks what came from elsewhere. Damage stops the sync, so that it does not spread; contradictions are listed. */
const lookAtWhatCame = (place: Workplace): Outcome<readonly string[]> => {
  const opened = openWorkshop(place, 'read');
  if (!opened.ok) return opened;
  const { value: workshop } = opened;
  const closed = workshop.closed();
  if (closed) return err(closed);
  const open = openContradictions(workshop.state());
  return ok([
    ...workshop.notices().map(noticeLine),
    ...open.map(({ entry, why }) => `contradiction to be settled, ${entry.id}: ${why}`),
  ]);
};

const run = (call: Call): number => {
  const extra = wordsGiven(call, 'sync');
  if (extra) return failed(call, extra);
  const configuration = configurationOf(call);
  if (!configuration.ok) return failed(call, configuration.fault);
  const { place } = configuration.value;
  const done = locked(place, () => {
    const git = gitIn(place.state, call.host.env.variables);
    try {
      return syncState(git, () => lookAtWhatCame(place));
    } finally {
      git.close();
    }
  });
  if (!done.ok) return failed(call, done.fault);
  if (call.flag('json')) call.print.json(done.value);
  else call.print.lines(...done.value.told);
  return 0;
};

export const syncCommand: CommandSpec = {
  name: 'sync',
  about: 'shares the state through your own git: commit, pull, push',
  usage: ['dryfit sync'],
  options: {},
  more: [
    'The state folder lies in a git repository of yours, with a remote that the others use too; git is called as you have set it up.',
    'Each machine writes its own journal file, so nothing of the journal collides. What contradicts what was done elsewhere is told, and',
    'settled with: dryfit do - settle ENTRY keep=yes|no',
  ],
  run,
};
