import { asUsage, err, usage, type Outcome } from '../fault/fault.ts';
import { openGit } from '../store/git/git.ts';
import { realState } from '../store/writers.ts';
import type { Workplace } from '../workshop/place.ts';
import { lockState } from '../workshop/state-lock.ts';
import { syncState } from '../workshop/sync/sync.ts';
import { failed, wordsGiven } from './fail.ts';
import { configurationOf } from './configuration.ts';
import type { Call, CommandSpec } from './spec.ts';

/** Holds the lock of the state, so that nobody writes while its files are brought together. */
const locked = <T>(place: Workplace, work: (real: string) => Outcome<T>): Outcome<T> => {
  if (place.disk.look(place.state) === undefined)
    return err(usage('path-unknown', `there is nothing at ${place.state}`, 'name the state folder: --state DIR'));
  const real = asUsage(realState(place.disk, place.state));
  if (!real.ok) return real;
  const lock = lockState(place, real.value);
  if (!lock.ok) return lock;
  try {
    return work(real.value);
  } finally {
    lock.value.release();
  }
};

const run = (call: Call): number => {
  const extra = wordsGiven(call, 'sync');
  if (extra) return failed(call, extra);
  const configuration = configurationOf(call);
  if (!configuration.ok) return failed(call, configuration.fault);
  const { place } = configuration.value;
  const { disk, config } = place;
  const { variables } = call.host.env;
  const confirms = call.texts('confirm');
  const canAsk = call.host.streams.stdin.isTTY === true;
  const done = locked(place, (state) => {
    const git = openGit({ disk, state, config, variables, canAsk, confirms });
    if (!git.ok) return git;
    try {
      return syncState(git.value, { ...place, state }, confirms);
    } finally {
      git.value.close();
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
  usage: ['dryfit sync', 'dryfit sync --confirm SETTING …'],
  options: {
    confirm: {
      type: 'string',
      multiple: true,
      value: 'SETTING',
      about: 'confirm, once, a setting or hook that the repository brings, by its name',
    },
  },
  more: [
    'The state folder is in a git repository of yours, with a remote that the others use too. git is called as you have set it up for',
    'yourself: your name, your keys, your passwords.',
    '',
    'sync shares the files of dryfit only: journal, build.yaml, procedures, attachments, records. It lists what else is in the folder.',
    'It takes in the files of dryfit only, and takes nothing away: of two copies of a journal file the longer one stays, and where',
    'somebody has rewritten a line, nothing is taken and the line is named. Conflicts between machines are listed, and settled with:',
    'dryfit do - settle ENTRY keep=yes|no',
    '',
    'sync runs nothing that a received folder brings: no hooks, filters, helper programs or included settings. Where a repository',
    'brings any, sync refuses and names them. Put what you need into your own settings (git config --global). If you have put it into',
    'the repository yourself, confirm it with --confirm and its name. That is remembered on this machine until it changes.',
  ],
  run,
};
