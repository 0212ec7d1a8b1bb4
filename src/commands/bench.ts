import { usage } from '../fault/fault.ts';
import { forcedColour, isInteractive } from '../terminal/environment.ts';
import type { TerminalParts } from '../terminal/session.ts';
import { keepSetting } from '../store/settings.ts';
import { findJob } from '../workshop/find-job.ts';
import { fromHere } from './folders.ts';
import { failed } from './fail.ts';
import { withState, type OpenedWorkshop } from './open.ts';
import type { Call, CommandSpec } from './spec.ts';
import { printStatus } from './status.ts';
import { unknownCommand } from './unknown.ts';

const jobIn = (call: Call, opened: OpenedWorkshop): { readonly id?: string; readonly code?: number } => {
  const [word] = call.words;
  if (word === undefined) return {};
  const job = findJob(opened.workshop.state(), word);
  if (job.ok) return { id: job.value.id };
  return { code: failed(call, job.fault.code === 'job-unknown' ? unknownCommand(word) : job.fault) };
};

/** Whether there is a terminal to draw on, and nobody asked for lines or data. */
export const isAtBench = ({ host, flag }: Call): boolean =>
  !flag('json') && !flag('plain') && isInteractive(host.streams.stdin, host.streams.stdout, host.env.variables);

/** The streams as the terminal needs them. Only real ones say that they are a terminal (`isAtBench`), and those have it all. */
const terminalOf = (call: Call): TerminalParts => {
  const { streams, env, clock } = call.host;
  return {
    stdin: streams.stdin as unknown as TerminalParts['stdin'],
    stdout: streams.stdout as unknown as TerminalParts['stdout'],
    life: env.life,
    timers: { now: clock.monotonic, after: clock.after },
  };
};

/** Opens the bench on an open state. Resolves with the exit code when it was left. */
export const openAt = async (call: Call, opened: OpenedWorkshop, job: string | undefined): Promise<number> => {
  const { env, clock } = call.host;
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

export const benchCommand: CommandSpec = {
  name: 'dryfit',
  about: 'opens the bench',
  usage: ['dryfit [JOB]', 'dryfit COMMAND …'],
  options: {},
  more: ['Without a terminal, or with --json or --plain, it prints the status instead.'],
  run: (call) => {
    const canDraw = isAtBench(call);
    if (call.words.length > 1)
      return failed(call, usage('word-extra', 'one job is opened at a time', 'write: dryfit [JOB]'));
    if (!canDraw && call.words.length === 0) return printStatus(call);
    return withState(call, canDraw ? 'found' : 'read', (opened) => {
      const { id, code } = jobIn(call, opened);
      if (code !== undefined) return code;
      return canDraw ? openAt(call, opened, id) : printStatus(call);
    });
  },
};
