import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { root } from '../support/built.ts';
import { stateFiles, withKept } from './kept.ts';
import { storiesOf } from './stories.ts';
import { makeState } from './story.ts';

/*
 * The stories of the kept states, carried out by the current program. It must answer each command as the earlier program did, and write the
 * same bytes.
 */

it.each(storiesOf(root).map((story) => [story.name, story] as const))(
  '%s is written as it was, byte for byte',
  async (_name, story) => {
    const kept = join(root, 'tests/states/edition-1', story.name);
    await withKept(kept, root, ({ state }) =>
      makeState(story, root, (made) => {
        expect(made.printed).toBe(readFileSync(join(kept, 'printed.txt'), 'utf8'));
        const [now, then] = [stateFiles(made.state), stateFiles(state)];
        expect([...now.keys()]).toEqual([...then.keys()]);
        for (const [name, bytes] of then)
          expect(now.get(name)?.toString('latin1'), name).toBe(bytes.toString('latin1'));
      }),
    );
  },
);
