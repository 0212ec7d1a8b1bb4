import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import type { OwnMachine, Ran } from './machine.ts';
import type { Story } from './story.ts';

/** The questions for a kept state: the arguments of one command each. `<project>` is the project's folder. */
export interface Questions {
  readonly now: string;
  readonly ask: readonly (readonly string[])[];
}

export const filesOf = (folder: string): readonly string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => statSync(join(folder, name)).isFile())
    .map((name) => name.replaceAll('\\', '/'))
    .toSorted();

/** The file that keeps the answer to a question, by what was asked. */
export const answerFile = (argv: readonly string[]): string =>
  `${argv
    .join(' ')
    .replace('<project>/', '')
    .replace(/[^A-Za-z0-9.-]+/g, '_')}.txt`;

/** An answer that equals a file of the state's records is not stored twice: the file's name is written instead. */
const shown = (text: string, state: string): string => {
  const same = /^[{<]/.test(text)
    ? filesOf(state).findLast((name) => name.startsWith('records/') && readFileSync(join(state, name), 'utf8') === text)
    : undefined;
  return same === undefined ? text : `(the same as ${same})\n`;
};

const answerOf = (argv: readonly string[], { code, out, err }: Ran, state: string): string =>
  `$ dryfit ${argv.join(' ')}\nexit ${code}\n${shown(out, state)}${err === '' ? '' : `stderr:\n${err}`}`;

export const asked = async (own: OwnMachine, { now, ask }: Questions): Promise<Map<string, string>> => {
  const answers = new Map<string, string>();
  for (const argv of ask) {
    own.at(now);
    answers.set(answerFile(argv), answerOf(argv, await own.run(argv), own.state));
  }
  return answers;
};

const subject = /"(?:batch|sample|tool|number|lot)": "([^"]+)"/g;

interface Status {
  readonly jobs: readonly { readonly id: string; readonly procedure: string }[];
}

/**
 * The questions for the state of a story, which depend on what the state has. Every state gives its status, its records, the trace of each
 * batch, lot and tool, the sheet of the next gate, and the result of `verify`. A wide story is also asked for the other formats, the lists, an answer to a hold, and
 * the effect of a new page.
 */
export const questionsFor = async (own: OwnMachine, { now, pages, isWide }: Story): Promise<Questions> => {
  own.at(now);
  const { jobs } = JSON.parse((await own.run(['status', '--json'])).out) as Status;
  const texts: string[] = [];
  for (const argv of [
    ...jobs.map(({ id }) => ['record', id, '--format', 'json']),
    ['stock', '--json'],
    ['tool', '--json'],
  ])
    texts.push((await own.run(argv)).out);
  const traced: string[] = [];
  for (const name of new Set(texts.flatMap((text) => [...text.matchAll(subject)].map(([, found = '']) => found))))
    if ((await own.run(['trace', name])).code === 0) traced.push(name);
  const withPages = ['--procedures', `<project>/${pages}`];
  const wide = (...ask: readonly (readonly string[])[]): readonly (readonly string[])[] => (isWide === true ? ask : []);
  const procedures = [...new Set(jobs.map(({ procedure }) => procedure))];
  return {
    now,
    ask: [
      ['status', ...withPages],
      ['status', '--json', ...withPages],
      ['gate'],
      ...wide(['gate', '--json'], ['status', '--format', 'ics']),
      ...jobs.flatMap(({ id }) => [
        ['record', id, '--format', 'text'],
        ['record', id, '--format', 'json'],
        ...wide(['record', id, '--format', 'html'], ['status', id], ['hold', id, '--for', 'release']),
      ]),
      ...wide(...traced.slice(0, 2).map((name) => ['trace', name])),
      ...traced.map((name) => ['trace', name, '--json']),
      ...wide(...['loose', 'stock', 'tool', 'person', 'key'].map((list) => [list, '--json'])),
      ...wide(...procedures.map((procedure) => ['compare', `${procedure}@A`, `<project>/${pages}/${procedure}.yaml`])),
      ['verify'],
      ...wide(['verify', '--json']),
    ],
  };
};
