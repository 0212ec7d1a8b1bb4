import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import type { BuildFile } from '../../../src/aircraft/file.ts';
import { readProcedure } from '../../../src/procedure/load.ts';
import type { Procedure } from '../../../src/procedure/model.ts';
import type { Chooser } from './chooser.ts';
import { people, tools, type BuildPages } from './pages.ts';

/* The project's own procedures, a few of them in each build, so that the walk goes through pages that somebody wrote. */

const gates: readonly string[] = ['hull-close', 'cover', 'first-start', 'first-water', 'first-flight'];

interface OwnPage {
  readonly text: string;
  readonly procedure: Procedure;
}

const read = (folder: string): readonly OwnPage[] =>
  readdirSync(folder)
    .filter((name) => name.endsWith('.yaml'))
    .toSorted()
    .map((name) => {
      const text = readFileSync(join(folder, name), 'utf8');
      const { procedure } = readProcedure(text, name);
      if (!procedure) throw new Error(`${name} cannot be read`);
      return { text, procedure };
    });

/** Those that a procedure comes after, and it, in the order in which they are carried out. */
const withEarlier = (all: readonly OwnPage[], page: OwnPage): readonly OwnPage[] => [
  ...page.procedure.after.flatMap(({ procedure }) =>
    all.filter((one) => one.procedure.procedure === procedure).flatMap((one) => withEarlier(all, one)),
  ),
  page,
];

/** One good tool of each kind that the pages name, beside those of the invented pages. */
const toolsOf = (pages: readonly OwnPage[]): BuildFile['tools'] => {
  const named = pages.flatMap(({ procedure: { gather, steps } }) => [
    ...gather.tools.map(({ tool }) => tool),
    ...steps.flatMap(({ readings, tighten, mix }) => [...readings, tighten, mix].flatMap((one) => one?.tool ?? [])),
  ]);
  const kinds = [...new Set(named)].filter((kind) => tools.every((one) => one.kind !== kind));
  return [...tools, ...kinds.map((kind) => ({ tool: `OWN-${kind}`, kind, 'in-date-until': '2030-01-31' }))];
};

/** A build of one or two of the procedures in a folder, with all that they come after; of every tenth build, all of them. */
export const ownPages = (folder: string, choose: Chooser): BuildPages => {
  const all = read(folder);
  const chosen = choose.maybe(0.1) ? all : [choose.one(all), ...(choose.maybe(0.4) ? [choose.one(all)] : [])];
  const pages = [...new Set(chosen.flatMap((one) => withEarlier(all, one)))];
  return {
    texts: pages.map(({ text }) => text),
    file: {
      people,
      gates,
      tools: toolsOf(pages),
      plan: pages.map(({ procedure: { procedure } }) => ({ procedure })),
      stock: [],
    },
  };
};
