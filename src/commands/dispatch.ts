import { err, ok, usage, type Fault, type Outcome } from '../fault/fault.ts';
import { onDisk } from '../store/disk-fault.ts';
import { parseInstant } from '../quantity/time.ts';
import { failWith } from './fail.ts';
import { commandHelp, overview } from './help.ts';
import { parseOptions, splitCommand, type Parsed } from './options.ts';
import { makePrinter, type Printer } from './print.ts';
import type { Call, CommandSpec } from './spec.ts';
import { loadBench, loaderOf } from './table.ts';
import { unknownCommand } from './unknown.ts';
import type { Clock, Host } from './host.ts';

declare const __VERSION__: string | undefined;

const versionText = (): string => (typeof __VERSION__ === 'string' ? __VERSION__ : 'unbuilt');

/** A clock that shows `text` now, and runs on from there. */
const clockAt = (text: string, clock: Clock): Outcome<Clock> => {
  const read = parseInstant(text);
  if (!read.ok) return err(usage('now-unreadable', `--now ${text} cannot be read`, read.fault.todo));
  const { ms, offset } = read.value;
  const began = clock.monotonic();
  return ok({
    wall: () => ms + Math.floor(clock.monotonic() - began),
    monotonic: clock.monotonic,
    offset: () => offset,
    after: clock.after,
  });
};

const callOf = (parsed: Parsed, host: Host, print: Printer): Call => {
  const value = (name: string) => parsed.values[name];
  return {
    words: parsed.words,
    host,
    print,
    flag: (name) => value(name) === true,
    text: (name) => {
      const found = value(name);
      return typeof found === 'string' ? found : undefined;
    },
    texts: (name) => {
      const found = value(name);
      const list = Array.isArray(found) ? found : [found];
      return list.filter((item): item is string => typeof item === 'string');
    },
  };
};

/** The fault for an error that the disk has thrown. `undefined` for any other error, which is a bug. */
const diskFault = (error: unknown): Fault | undefined => {
  const path = error instanceof Error && 'path' in error ? String(error.path) : 'the disk';
  const told = onDisk(path, () => {
    throw error;
  });
  return told.ok ? undefined : told.fault;
};

const runCommand = async (command: CommandSpec, argv: readonly string[], host: Host): Promise<number> => {
  const asJson = argv.includes('--json');
  const print = makePrinter(host, asJson, argv.includes('--plain'));
  const parsed = parseOptions(argv, command.options);
  if (!parsed.ok) return failWith(print, parsed.fault);
  if (parsed.value.values['help'] === true) {
    print.lines(...commandHelp(command));
    return 0;
  }
  const now = parsed.value.values['now'];
  const clock = typeof now === 'string' ? clockAt(now, host.clock) : ok(host.clock);
  if (!clock.ok) return failWith(print, clock.fault);
  try {
    return await command.run(callOf(parsed.value, { ...host, clock: clock.value }, print));
  } catch (error) {
    const fault = diskFault(error);
    if (fault === undefined) throw error;
    return failWith(print, fault);
  }
};

/** Finds the command, loads it and runs it. A bug is reported in one line too, with exit code 1. */
export const dispatch = async (argv: readonly string[], host: Host): Promise<number> => {
  const print = makePrinter(host, false);
  try {
    const { name, rest } = splitCommand(argv);
    if (name === undefined && (argv.includes('--help') || argv.includes('-h'))) {
      print.lines(...overview());
      return 0;
    }
    if (name === undefined && argv.includes('--version')) {
      print.lines(versionText());
      return 0;
    }
    if (name === 'help') return await helpOf(rest, host, print);
    const load = loaderOf(name);
    if (load !== undefined) return await runCommand(await load(), rest, host);
    return await runCommand(await loadBench(), argv, host);
  } catch (error) {
    const told = error instanceof Error ? error.message : String(error);
    const trace = host.env.variables['DRYFIT_TRACE'] !== undefined && error instanceof Error ? ` ${error.stack}` : '';
    print.note(
      `dryfit: bug: ${told}${trace}; What was shown as taken is on the disk. Set DRYFIT_TRACE=1 to see where it was`,
    );
    return 1;
  }
};

const helpOf = async ([name]: readonly string[], host: Host, print: Printer): Promise<number> => {
  if (name === undefined) {
    print.lines(...overview());
    return 0;
  }
  const load = loaderOf(name);
  return load === undefined ? failWith(print, unknownCommand(name)) : runCommand(await load(), ['--help'], host);
};
