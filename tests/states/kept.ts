import { cpSync, mkdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { gunzipSync, gzipSync } from 'node:zlib';
import { filesOf, questionsFor, asked, type Questions } from './ask.ts';
import { ownMachine, type OwnMachine } from './machine.ts';
import { makeState, type Story } from './story.ts';

/** Records are large and similar to each other, so they are kept compressed. */
const isPacked = (name: string): boolean => name.startsWith('records/') && /\.(?:json|html)$/.test(name);
/** The private keys of a rehearsal are not kept, because reading a state needs none. */
const isLeftOut = (name: string): boolean => name.startsWith('scripted-keys/');

/** The files of a state as they are kept, by their names in the state. */
export const stateFiles = (state: string): Map<string, Buffer> =>
  new Map(
    filesOf(state).flatMap((name) => (isLeftOut(name) ? [] : [[name, readFileSync(join(state, name))] as const])),
  );

const put = (path: string, bytes: string | Uint8Array): void => {
  mkdirSync(dirname(path), { recursive: true });
  writeFileSync(path, bytes);
};
const packed = (bytes: string | Uint8Array): Buffer => gzipSync(bytes, { level: 9 });
const unpacked = (path: string): Buffer => gunzipSync(readFileSync(path));

/** Works on a machine that has only the kept state, unpacked. */
export const withKept = async (
  kept: string,
  project: string,
  work: (own: OwnMachine) => void | Promise<void>,
): Promise<void> => {
  const own = ownMachine('a reader', project);
  try {
    cpSync(join(kept, 'state'), own.state, { recursive: true });
    for (const name of filesOf(own.state).filter((file) => file.endsWith('.gz'))) {
      const path = join(own.state, name);
      writeFileSync(path.replace(/\.gz$/, ''), unpacked(path));
      rmSync(path);
    }
    await work(own);
  } finally {
    rmSync(own.folder, { recursive: true, force: true });
  }
};

const isPackedAnswer = (name: string): boolean => /--format_(?:json|html)/.test(name);
const answerPath = (kept: string, name: string): string =>
  join(kept, 'said', isPackedAnswer(name) ? `${name}.gz` : name);

export const questionsOf = (kept: string): Questions =>
  JSON.parse(readFileSync(join(kept, 'questions.json'), 'utf8')) as Questions;

/** The kept answers, by name. */
export const answersOf = (kept: string): Map<string, string> =>
  new Map(
    filesOf(join(kept, 'said')).map((file) => {
      const path = join(kept, 'said', file);
      return [file.replace(/\.gz$/, ''), file.endsWith('.gz') ? unpacked(path).toString() : readFileSync(path, 'utf8')];
    }),
  );

/** Stores what the current program says about a state, and leaves the state unchanged. */
export const keepAnswers = async (kept: string, project: string): Promise<void> => {
  rmSync(join(kept, 'said'), { recursive: true, force: true });
  await withKept(kept, project, async (own) => {
    for (const [name, text] of await asked(own, questionsOf(kept))) {
      const path = answerPath(kept, name);
      put(path, path.endsWith('.gz') ? packed(text) : text);
    }
  });
};

/** Makes a state anew, and stores it with what the current program says about it. */
export const keep = async (story: Story, kept: string, project: string): Promise<void> => {
  rmSync(kept, { recursive: true, force: true });
  await makeState(story, project, ({ state, printed }) => {
    for (const [name, bytes] of stateFiles(state))
      if (isPacked(name)) put(join(kept, 'state', `${name}.gz`), packed(bytes));
      else put(join(kept, 'state', name), bytes);
    put(join(kept, 'printed.txt'), printed);
  });
  await withKept(kept, project, async (own) => {
    put(join(kept, 'questions.json'), `${JSON.stringify(await questionsFor(own, story), undefined, 1)}\n`);
  });
  await keepAnswers(kept, project);
};
