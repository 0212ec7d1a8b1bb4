import { usage } from '../fault/fault.ts';
import { forcedColour, isInteractive } from '../terminal/environment.ts';
import type { TerminalParts } from '../terminal/session.ts';
import { keepSetting } from '../store/settings.ts';
import { findJob } from '../workshop/find-job.ts';
import { fromHere } from './folders.ts';
import { failed, withState, type Opened } from './open.ts';
import type { Call, CommandSpec } from './spec.ts';
import { printStatus } from './status.ts';
import { unknownCommand } from './unknown.ts';

const jobIn = (call: Call, opened: Opened): { readonly id?: string; readonly code?: number } => {
  const [word] = call.words;
  if (word === undefined) return {};
  const job = findJob(opened.workshop.state(), word);
  if (job.ok) return { id: job.value.id };
  return { code: failed(call, job.fault.code === 'job-unknown' ? unknownCommand(word) : job.fault) };
};

const terminalOf = (call: Call): TerminalParts => {
  const { streams, env, clock } = call.world;
  return {
    stdin: streams.stdin as unknown as TerminalParts['stdin'],
    stdout: streams.stdout as unknown as TerminalParts['stdout'],
    life: env.life,
    timers: { now: clock.monotonic, after: clock.after },
  };
};

const openHere = async (call: Call, opened: Opened, job: string | undefined): Promise<number> => {
  const { env, clock } = call.world;
  const forced = forcedColour(env.variables);
  if (forced !== undefined) env.setVariable('FORCE_COLOR', forced);
  const { openBench } = await import('../bench/bench.tsx');
  const by = opened.person();
  const keyFile = call.text('key');
  await openBench({
    workshop: opened.workshop,
    ...(by === undefined ? {} : { by }),
    ...(job === undefined ? {} : { job }),
    ...(keyFile === undefined ? {} : { keyFile: fromHere(env, keyFile) }),
    settings: opened.settings,
    keep: (name, value) => void keepSetting(opened.place.disk, opened.place.config, name, value),
    env: env.variables,
    clock,
    terminal: terminalOf(call),
  });
  return 0;
};

export const bench: CommandSpec = {
  name: '',
  about: 'opens the bench',
  usage: ['[JOB]'],
  options: {},
  more: ['Without a terminal it prints the status.'],
  run: (call) => {
    const { stdin, stdout } = call.world.streams;
    const canDraw = isInteractive(stdin, stdout, call.world.env.variables) && !call.flag('plain') && !call.flag('json');
    if (call.words.length > 1)
      return failed(call, usage('word-extra', 'one job is opened at a time', 'write: dryfit [JOB]'));
    return withState(call, canDraw ? 'write' : 'read', (opened) => {
      const { id, code } = jobIn(call, opened);
      if (code !== undefined) return code;
      return canDraw ? openHere(call, opened, id) : printStatus(call, opened);
    });
  },
};
