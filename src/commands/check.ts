import { statSync } from 'node:fs';
import { usage, type Fault } from '../fault/fault.ts';
import { suggest } from '../fault/nearest.ts';
import { aboutCode, codes } from '../procedure/codes.ts';
import { printMessage, sortMessages, type Message } from '../procedure/message.ts';
import { onDisk } from '../store/disk-fault.ts';
import {
  folderMessages,
  procedureFiles,
  readProcedureFile,
  unreadableMessage,
  type ProcedureFile,
} from '../workshop/procedures/procedures.ts';
import { readBuildDraft } from '../workshop/draft.ts';
import { failed } from './fail.ts';
import { fromHere, withoutLastSlash } from './folders.ts';
import { configurationOf } from './configuration.ts';
import { progressOn } from './progress.ts';
import type { Call, CommandSpec } from './spec.ts';
import { own } from '../fault/own.ts';

/** Codes for what can be wrong before there is a file to read. */
const pathCodes: Readonly<Record<string, string>> = {
  'no-procedures':
    'The folder holds no procedure: no regular file *.yaml directly in it that does not begin with script.',
  'not-a-file': 'Only regular files and folders are read: no pipe, no device.',
};

type Told = Omit<Message, 'code'> & { readonly code: string };

interface Looked {
  readonly files: readonly ProcedureFile[];
  readonly told: readonly Told[];
}

const atPath = (file: string, code: string, what: string, todo: string): Looked => ({
  files: [],
  told: [{ file, line: 1, column: 1, level: 'error', code, what, todo }],
});

/** Checks a folder as a whole, or a file by itself. Paths are printed as they were typed. */
const look = (call: Call, typed: string): Looked | Fault => {
  const path = fromHere(call.host.env, typed);
  const found = onDisk(typed, () => statSync(path, { throwIfNoEntry: false }));
  if (!found.ok) return { files: [], told: [unreadableMessage(typed, found.fault)] };
  if (found.value === undefined)
    return usage('path-unknown', `there is nothing at ${typed}`, 'name a file or a folder');
  const asTyped = (messages: readonly Message[]): readonly Message[] =>
    messages.map((message) => ({
      ...message,
      file: withoutLastSlash(typed) + message.file.slice(path.length),
    }));
  if (found.value.isDirectory()) return lookIn(call, path, typed, asTyped);
  if (!found.value.isFile()) return atPath(typed, 'not-a-file', 'this is no regular file', 'name a file or a folder');
  const file = readProcedureFile(path, false);
  return { files: [file], told: asTyped(file.messages) };
};

/** The gates of the build, where there is one and it has any. */
const gatesOf = (call: Call): readonly string[] | undefined => {
  const configuration = configurationOf(call);
  const draft = configuration.ok ? readBuildDraft(configuration.value) : configuration;
  const gates = draft.ok ? draft.value?.file?.gates : undefined;
  return gates === undefined || gates.length === 0 ? undefined : gates;
};

const lookIn = (
  call: Call,
  path: string,
  typed: string,
  asTyped: (messages: readonly Message[]) => readonly Message[],
): Looked => {
  const files = onDisk(typed, () => procedureFiles(path, progressOn(call)('procedures')));
  if (!files.ok) return { files: [], told: [unreadableMessage(typed, files.fault)] };
  if (files.value.length === 0)
    return atPath(typed, 'no-procedures', 'the folder holds no procedure', 'name a folder with files *.yaml in it');
  const messages = [...files.value.flatMap((file) => file.messages), ...folderMessages(files.value, gatesOf(call))];
  return { files: files.value, told: asTyped(sortMessages(messages)) };
};

const about = (call: Call, code: string): number => {
  const text = aboutCode(code) ?? own(pathCodes, code);
  if (text === undefined) {
    const known = [...Object.keys(codes), ...Object.keys(pathCodes)];
    const guess = suggest(code, known);
    const todo = guess === undefined ? `the codes are: ${known.join(', ')}` : `did you mean ${guess}?`;
    return failed(call, usage('code-unknown', `check says nothing called '${code}'`, todo));
  }
  if (call.flag('json')) call.print.json({ code, about: text });
  else call.print.lines(text);
  return 0;
};

const summary = (looked: Looked): string => {
  const count = looked.files.length;
  const steps = looked.files.reduce((sum, { procedure }) => sum + (procedure?.steps.length ?? 0), 0);
  const read = `${count} ${count === 1 ? 'procedure' : 'procedures'} read, ${steps} steps`;
  const of = (level: Told['level']): number => looked.told.filter((told) => told.level === level).length;
  return `${read}; errors: ${of('error')}, warnings: ${of('warning')}`;
};

const run = (call: Call): number => {
  const code = call.text('about');
  if (code !== undefined) return about(call, code);
  if (call.words.length === 0)
    return failed(call, usage('file-missing', 'nothing to check is named', 'write dryfit check FILE…'));
  const all: { files: ProcedureFile[]; told: Told[] } = { files: [], told: [] };
  for (const word of call.words) {
    const looked = look(call, word);
    if ('kind' in looked) return failed(call, looked);
    all.files.push(...looked.files);
    all.told.push(...looked.told);
  }
  if (call.flag('json')) call.print.json({ messages: all.told });
  else {
    for (const told of all.told) call.print.note(printMessage(told as Message));
    call.print.lines(summary(all));
  }
  const fails = all.told.some(({ level }) => level === 'error' || call.flag('warnings-fail'));
  return fails ? 1 : 0;
};

export const checkCommand: CommandSpec = {
  name: 'check',
  about: 'reads procedures as a compiler would',
  usage: ['dryfit check FILE…', 'dryfit check FOLDER', 'dryfit check --about CODE'],
  options: {
    about: { type: 'string', value: 'CODE', about: 'what a code means' },
    'warnings-fail': { type: 'boolean', about: 'a warning is as bad as an error' },
  },
  more: [
    'A folder is checked as a whole too: what comes after what, who covers what another must reach. Gates are those of the build, where there is one.',
    'One line for each thing: file:line:column: error|warning code: what; what to do. Exit 1 where there is an error.',
  ],
  run,
};
