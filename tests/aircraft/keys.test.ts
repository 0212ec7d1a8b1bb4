import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { evolveRaw } from '../support/entries.ts';
import { emptyFile, type PersonLine } from '../../src/aircraft/file.ts';
import { carriedData, invitationText, type Invitation } from '../../src/aircraft/invitation.ts';
import { introductionFlaw } from '../../src/aircraft/introductions.ts';
import { coSigningKey, endOf, keyInForce, recoveryOf, signingKey, type SignedLine } from '../../src/aircraft/keys.ts';
import type { Library } from '../../src/aircraft/library.ts';
import { emptyBuild, powersOf, type BuildState } from '../../src/aircraft/state.ts';
import { err, ok, usage } from '../../src/fault/fault.ts';
import { keyFromRaw } from '../../src/proof/keys.ts';
import { secretFromSeed } from '../../src/signing/secret.ts';
import { makeSigner } from '../../src/signing/signer.ts';
import { valueOf } from '../proof/outcomes.ts';

/* For each story of introduced keys: whether one more line may introduce its key, or why not. */

/** A public key for a name. Nothing is signed here, so there is no private half. */
const keyOf = (name: string) =>
  valueOf(keyFromRaw(Uint8Array.from({ length: 32 }, (_, at) => name.charCodeAt(at % name.length) + at)));
const fp = (name: string): string => keyOf(name).fingerprint;

const people: readonly PersonLine[] = [
  { person: 'ines', powers: ['builder'] },
  { person: 'tobias', powers: ['inspector'] },
  { person: 'vera', powers: ['inspector'] },
  { person: 'quillon', powers: ['designer'] },
  { person: 'marit', powers: ['witness'] },
];
const library: Library = {
  procedure: () => err(usage('unknown-id', 'none', '')),
  log: () => err(usage('unknown-id', 'none', '')),
  build: () => ok({ ...emptyFile, people }),
};

interface Said {
  readonly type?: 'key' | 'recovery';
  readonly by: string;
  /** The name of the key that a line introduces. */
  readonly key: string;
  readonly also?: readonly (readonly [person: string, key: string])[];
  readonly more?: Readonly<Record<string, string | readonly string[]>>;
}

const lineOf = ({ type = 'key', by, key, also = [], more = {} }: Said): SignedLine => ({
  type,
  by,
  key: fp(key),
  data: { person: by, key: keyOf(key).text, ...more },
  also: also.map(([person, name]) => ({ by: person, key: fp(name), sig: '' })),
});

const flaw = (state: BuildState, said: Said): string => introductionFlaw(state, lineOf(said)) ?? 'taken';

const evolved = (
  state: BuildState,
  type: string,
  by: string,
  data: SignedLine['data'],
  also: readonly string[],
): BuildState =>
  valueOf(
    evolveRaw(
      state,
      {
        id: `w:${state.entries + 1}`,
        hash: 'h',
        at: '2026-03-02T09:00:00+01:00',
        by,
        job: '',
        type,
        data: data as never,
        also,
      },
      library,
    ),
  );

const given = (...story: readonly Said[]): BuildState => {
  let state = emptyBuild;
  for (const said of story) {
    expect(flaw(state, said), JSON.stringify(said)).toBe('taken');
    const line = lineOf(said);
    state = evolved(
      state,
      line.type,
      line.by,
      line.data,
      (said.also ?? []).map(([person]) => person),
    );
    if (state.entries === 1) state = evolved(state, 'build', line.by, { sha256: 'x' }, []);
  }
  return state;
};

const first: Said = { by: 'ines', key: 'i1' };
const introduced = (by: string, key: string, powers: readonly string[] = []): Said => ({
  by,
  key,
  also: [['ines', 'i1']],
  more: { powers },
});
const cast = [
  first,
  introduced('tobias', 't1', ['inspector']),
  introduced('vera', 'v1', ['inspector']),
  introduced('quillon', 'q1', ['designer']),
  introduced('marit', 'm1'),
];
const replaced = (by: string, key: string, was: string, also: Said['also'], more: Said['more'] = {}): Said => ({
  by,
  key,
  also: also ?? [],
  more: { replaces: fp(was), ...more },
});
const recovery = (by: string, key: string, own: string): Said => ({ type: 'recovery', by, key, also: [[by, own]] });

describe('a first key, and later ones', () => {
  it.each<[string, readonly Said[], Said, string]>([
    ['the first introduces itself', [], first, 'taken'],
    ['for somebody else', [], { ...first, more: { person: 'tobias' } }, 'somebody else'],
    ['a later one is introduced', [first], introduced('tobias', 't1'), 'taken'],
    ['a later one alone', [first], { by: 'tobias', key: 't1' }, 'nobody known has signed'],
    ['the same key again, to sign for a power', [first], { ...first, more: { powers: ['inspector'] } }, 'taken'],
    ["another's key", cast, introduced('otto', 't1'), "a key that is tobias's"],
    [
      "another's key that has ended",
      [...cast, replaced('ines', 'i2', 'i1', [['ines', 'i1']])],
      { ...introduced('otto', 'i1'), also: [['ines', 'i2']] },
      "ines's",
    ],
  ])('%s', (_, story, said, what) => {
    expect(flaw(given(...story), said)).toContain(what);
  });
});

describe('a lost key is replaced', () => {
  it.each<[string, Said, string]>([
    ['with the old one', replaced('tobias', 't2', 't1', [['tobias', 't1']]), 'taken'],
    ['with the word of another inspector', replaced('tobias', 't2', 't1', [['vera', 'v1']]), 'taken'],
    ["a designer's, with an inspector's word", replaced('quillon', 'q2', 'q1', [['vera', 'v1']]), 'taken'],
    ["a builder's, with anybody's", replaced('ines', 'i2', 'i1', [['marit', 'm1']]), 'taken'],
    [
      "an inspector's, with a builder's word",
      replaced('tobias', 't2', 't1', [['ines', 'i1']]),
      'neither their old one nor another inspector',
    ],
    [
      "an inspector's, with a designer's word",
      replaced('tobias', 't2', 't1', [['quillon', 'q1']]),
      'neither their old one nor another inspector',
    ],
    ["an inspector's, with nobody's", replaced('tobias', 't2', 't1', []), 'nobody known'],
    ["somebody else's key", replaced('tobias', 't2', 'v1', [['vera', 'v1']]), 'not theirs'],
    ['a key that nobody had', replaced('tobias', 't2', 'x9', [['vera', 'v1']]), 'not theirs'],
    ['by the very key that is lost', replaced('tobias', 't1', 't1', [['vera', 'v1']]), 'takes the place of itself'],
  ])('%s', (_, said, what) => {
    expect(flaw(given(...cast), said)).toContain(what);
  });

  it('signs no more afterwards, and the new one does', () => {
    const state = given(...cast, replaced('tobias', 't2', 't1', [['vera', 'v1']]));
    expect(keyInForce(state, 'tobias', fp('t1'))).toBeUndefined();
    expect(endOf(state, 'tobias', fp('t1'))).toBe('w:7');
    expect(keyInForce(state, 'tobias', fp('t2'))).toBeDefined();
    expect(powersOf(state, 'tobias')).toEqual(['inspector']);
    expect(signingKey(state, { ...lineOf({ by: 'tobias', key: 't1' }), type: 'remark' })).toBeUndefined();
    expect(flaw(state, replaced('tobias', 't3', 't1', [['vera', 'v1']]))).toContain('not theirs, or has ended');
    expect(flaw(state, { by: 'tobias', key: 't1', also: [['vera', 'v1']] })).toContain('has ended');
  });

  it('can still sign for whoever did not know that it had ended', () => {
    const state = given(...cast, replaced('tobias', 't2', 't1', [['vera', 'v1']]));
    expect(keyInForce(state, 'tobias', fp('t1'), () => false)).toBeDefined();
    const again = lineOf(replaced('tobias', 't3', 't1', [['tobias', 't1']]));
    expect(introductionFlaw(state, again, () => false)).toBeUndefined();
    expect(introductionFlaw(state, again, () => true)).toBeDefined();
  });
});

describe('a recovery key', () => {
  const kept = [...cast, recovery('tobias', 'r1', 't1')];
  const used = replaced('tobias', 't2', 't1', [['tobias', 'r1']], { recovery: fp('r1') });

  it.each<[string, readonly Said[], Said, string]>([
    ['is kept with the own key', cast, recovery('tobias', 'r1', 't1'), 'taken'],
    [
      'is not kept by somebody else',
      cast,
      { ...recovery('tobias', 'r1', 't1'), also: [['vera', 'v1']] },
      'not signed for with their own',
    ],
    ['is not kept alone', cast, { ...recovery('tobias', 'r1', 't1'), also: [] }, 'not signed for with their own'],
    ['is not the own key', cast, recovery('tobias', 't1', 't1'), 'signs already'],
    ["is not another's key", cast, recovery('tobias', 'v1', 't1'), "vera's"],
    ["is not another's recovery key", kept, recovery('vera', 'r1', 'v1'), 'kept for recovery'],
    ['is not introduced as a key', kept, { by: 'tobias', key: 'r1', also: [['tobias', 't1']] }, 'kept for recovery'],
    ['replaces a key', kept, used, 'taken'],
    ['replaces only a key that is named', kept, { ...used, more: { recovery: fp('r1') } }, 'not theirs, or is spent'],
    ['must sign where it is named', kept, { ...used, also: [['vera', 'v1']] }, 'has not signed'],
    [
      "is not another's",
      kept,
      replaced('vera', 'v2', 'v1', [['tobias', 'r1']], { recovery: fp('r1') }),
      'not theirs, or is spent',
    ],
    ['must have been made', cast, used, 'not theirs, or is spent'],
    [
      'is used up by its use',
      [...kept, used],
      replaced('tobias', 't3', 't2', [['tobias', 'r1']], { recovery: fp('r1') }),
      'not theirs, or is spent',
    ],
    ['is ended by the next', [...kept, recovery('tobias', 'r2', 't1')], used, 'not theirs, or is spent'],
  ])('%s', (_, story, said, what) => {
    expect(flaw(given(...story), said)).toContain(what);
  });

  it('signs beside nothing but the replacement that names it', () => {
    const state = given(...kept);
    const also = { by: 'tobias', key: fp('r1') };
    expect(coSigningKey(state, lineOf(used), also)).toBe(keyOf('r1').text);
    expect(coSigningKey(state, lineOf({ ...used, more: { replaces: fp('t1') } }), also)).toBeUndefined();
    expect(coSigningKey(state, { ...lineOf(used), type: 'release' }, also)).toBeUndefined();
    expect(signingKey(state, { ...lineOf({ by: 'tobias', key: 'r1' }), type: 'release' })).toBeUndefined();
    expect(recoveryOf(given(...kept, used), 'tobias')).toBeUndefined();
  });
});

describe('nobody can vouch: a new person', () => {
  const follower = (more: Said['more'], also: Said['also'] = []): Said => ({
    by: 'ines-2',
    key: 'n1',
    also: also ?? [],
    more: more ?? {},
  });
  it.each<[string, Said, string]>([
    ['is accepted alone', follower({ follows: 'ines' }), 'taken'],
    ['is accepted with somebody who signs for them', follower({ follows: 'ines' }, [['marit', 'm1']]), 'taken'],
    ['must say whom they follow', follower({}), 'nobody known'],
    ['cannot follow somebody unknown', follower({ follows: 'otto' }), 'does not know'],
    ['cannot follow themself', follower({ follows: 'ines-2' }), 'does not know'],
    ['cannot be somebody already known', { ...follower({ follows: 'ines' }), by: 'marit', key: 'm2' }, 'no new person'],
  ])('%s', (_, said, what) => {
    expect(flaw(given(...cast), said)).toContain(what);
  });

  it('cannot vouch for anybody’s key, so that nobody gets rid of a mark', () => {
    const state = given(...cast, follower({ follows: 'ines' }));
    const marked: Said['also'] = [['ines-2', 'n1']];
    expect(flaw(state, { by: 'ines', key: 'i2', also: marked })).toContain('is marked as following');
    expect(flaw(state, replaced('ines', 'i2', 'i1', marked))).toContain('is marked as following');
    expect(
      flaw(state, {
        by: 'ines',
        key: 'i2',
        also: [
          ['ines-2', 'n1'],
          ['marit', 'm1'],
        ],
      }),
    ).toBe('taken');
    expect(flaw(state, replaced('ines-2', 'n2', 'n1', marked))).toBe('taken'); // their own
    expect(flaw(state, replaced('ines-2', 'n2', 'n1', [['marit', 'm1']]))).toBe('taken');
  });

  it('is marked, ends no key, and has no power until one is given', () => {
    const state = given(...cast, follower({ follows: 'ines', powers: ['inspector'] }));
    expect(state.following).toEqual({ 'ines-2': { person: 'ines', entry: 'w:7', introducers: [] } });
    expect(keyInForce(state, 'ines', fp('i1'))).toBeDefined();
    expect(powersOf(state, 'ines-2')).toEqual([]);
  });
});

describe('a key that somebody else brings, signed for elsewhere', () => {
  const tess = secretFromSeed(new Uint8Array(32).fill(5));
  const other = secretFromSeed(new Uint8Array(32).fill(6));
  const state = given(...cast);
  const invitation: Invitation = {
    v: 1,
    build: state.build,
    person: 'tess',
    key: tess.publicKey.text,
    powers: ['witness'],
  };
  const carried = (
    said: Invitation,
    more: Readonly<Record<string, unknown>> = {},
    by = 'ines',
    secret = tess,
  ): SignedLine => {
    const text = invitationText(said);
    const signature = valueOf(makeSigner(secret).signArmored('dryfit-entry', text));
    const data = { ...carriedData(said, text, signature), ...more };
    return { type: 'key', by, key: fp('i1'), data: data as never };
  };
  const flawOf = (line: SignedLine): string => introductionFlaw(state, line) ?? 'taken';

  it('is introduced by whoever brings it, with exactly what its person signed for', () => {
    const line = carried(invitation);
    expect(flawOf(line)).toBe('taken');
    expect(signingKey(state, line)).toBe(keyOf('i1').text);
    const after = evolved(state, 'key', 'ines', line.data, []);
    expect(keyInForce(after, 'tess', tess.publicKey.fingerprint)).toBeDefined();
    expect(keyInForce(after, 'ines', tess.publicKey.fingerprint)).toBeUndefined();
  });

  it.each<[string, SignedLine, string]>([
    [
      'one power more',
      carried(invitation, { powers: ['witness', 'inspector'] }),
      'something else than tess has signed for',
    ],
    ['another person', carried(invitation, { person: 'otto' }), 'something else than tess has signed for'],
    ['another key', carried(invitation, { key: other.publicKey.text }), 'something else than tess has signed for'],
    ['an additional field', carried(invitation, { recovery: fp('t1') }), 'something else than tess has signed for'],
    ['another build', carried({ ...invitation, build: 'f'.repeat(64) }), 'another build'],
    ['another signer', carried(invitation, {}, 'ines', other), 'for somebody else'],
    ['no proof', { ...carried(invitation), data: { person: 'tess', key: tess.publicKey.text } }, 'for somebody else'],
    ["somebody else's key", carried({ ...invitation, person: 'otto', key: keyOf('t1').text }), 'for somebody else'],
    [
      'an inspector, by a builder',
      carried({ ...invitation, person: 'tobias' }),
      'neither their old one nor another inspector',
    ],
    ['accepted: an inspector, by another inspector', carried({ ...invitation, person: 'tobias' }, {}, 'vera'), 'taken'],
    ['the place of a key that is not theirs', carried({ ...invitation, replaces: fp('v1') }), 'not theirs'],
  ])('%s', (_, line, what) => {
    expect(flawOf(line)).toContain(what);
  });
});

it('never gives an inspector a key without another inspector, the old key or the recovery key', () => {
  const names = fc.constantFrom('i1', 'm1', 'q1', 'x1', 'x2');
  const signers = fc.array(fc.tuple(fc.constantFrom('ines', 'marit', 'quillon', 'otto'), names), { maxLength: 3 });
  const more = fc.record(
    { replaces: names.map(fp), recovery: names.map(fp), follows: fc.constantFrom('ines', 'tobias', 'otto') },
    { requiredKeys: [] },
  );
  const state = given(...cast, recovery('tobias', 'r1', 't1'));
  fc.assert(
    fc.property(names, signers, more, (key, also, added) => {
      const line = lineOf({ by: 'tobias', key, also, more: added });
      const known = (line.also ?? []).every((one) => coSigningKey(state, line, one) !== undefined);
      expect(known && introductionFlaw(state, line) === undefined).toBe(false);
    }),
  );
});
