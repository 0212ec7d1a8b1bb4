import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import { keysStory } from './keys.ts';
import { everyVerbStory } from './every-verb.ts';
import { mergedStory } from './merged.ts';
import type { Story } from './story.ts';

const late = '2026-12-01T12:00:00+01:00';

/** Each demo script, rehearsed into a state of its own. */
const rehearsed = (project: string): readonly Story[] =>
  readdirSync(join(project, 'tests/scripts'))
    .filter((name) => name.endsWith('.yaml'))
    .map((script) => ({
      name: script.replace('.yaml', ''),
      now: late,
      pages: 'procedures',
      act: async ({ machine }) => {
        await machine('one').says(`rehearse '<project>/tests/scripts/${script}'`);
      },
    }));

/** A new page in the middle of the build: before the builder decides about it, and after. */
const revised = (name: string, scripts: readonly string[], isWide: boolean): Story => ({
  name,
  now: late,
  pages: 'tests/scripts/revision/pages',
  isWide,
  act: async ({ machine }) => {
    const one = machine('one');
    for (const script of scripts) await one.says(`rehearse '<project>/tests/scripts/revision/${script}'`);
  },
});

export const storiesOf = (project: string): readonly Story[] => [
  ...rehearsed(project),
  revised('revision-before', ['before.yaml'], false),
  revised('revision-after', ['before.yaml', 'after.yaml'], true),
  everyVerbStory,
  mergedStory,
  keysStory,
];
