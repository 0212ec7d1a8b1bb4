import { describe, expect, test } from 'vitest';
import { commit } from '../../src/bench/session/commit.ts';
import type { Session } from '../../src/bench/session/state.ts';
import { started } from './scenes.ts';

/** An act as a key hands it out. */
const act = { verb: 'remark', job: 'x', by: 'ines', data: { text: 'once' } } as const;

describe('an act is handed out once', () => {
  const session = (more: Partial<Session>): Session => ({ ...started().bench.session(), committed: 1000, ...more });

  test('given an act at one second, when a second key commits 0.399 s later, then nothing is handed out', () => {
    expect(commit(session({}), act, 1399).effects).toEqual([]);
  });

  test('given an act at one second, when a second key commits 0.4 s later, then it is handed out', () => {
    const turn = commit(session({}), act, 1400);
    expect(turn.effects).toEqual([{ kind: 'submit', act, secrets: {} }]);
    expect(turn.session).toMatchObject({ committed: 1400, waiting: act });
  });

  test('given an act that has no answer yet, when another is committed a minute later, then nothing is handed out', () => {
    expect(commit(session({ waiting: act }), act, 61_000).effects).toEqual([]);
  });
});
