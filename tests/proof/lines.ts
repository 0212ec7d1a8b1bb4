import { createPrivateKey, sign } from 'node:crypto';
import { lineHash, lineText, signed, type JournalLine, type UnsignedLine } from '../../src/proof/line.ts';
import { keyFromRaw } from '../../src/proof/keys.ts';
import { signedData } from '../../src/proof/sshsig.ts';
import rfc8032 from '../vectors/rfc8032/ed25519.json' with { type: 'json' };
import { valueOf } from './outcomes.ts';

/* Lines for tests, signed with the published keys of RFC 8032 and node:crypto, not with the code with which dryfit signs. */

const pair = (index: number) => {
  const vector = rfc8032.vectors[index];
  if (vector === undefined) throw new Error('no such vector');
  const secret = createPrivateKey({
    key: Buffer.from(`302e020100300506032b657004220420${vector.secret}`, 'hex'),
    format: 'der',
    type: 'pkcs8',
  });
  return { key: valueOf(keyFromRaw(Buffer.from(vector.public, 'hex'))), secret };
};

export const first = pair(0);
export const second = pair(1);

export const signRaw = ({ secret }: { secret: ReturnType<typeof pair>['secret'] }, text: string): string =>
  sign(null, signedData('dryfit-entry', text), secret).toString('base64');

export const unsigned = (change: Partial<UnsignedLine> = {}): UnsignedLine => ({
  v: 1,
  build: '',
  writer: 'abcdefg2',
  seq: 1,
  prev: '',
  seen: {},
  at: '2026-03-02T09:00:00+01:00',
  by: 'first',
  key: first.key.fingerprint,
  job: '',
  type: 'key',
  data: { key: first.key.text },
  ...change,
});

export const sealed = (change: Partial<Omit<JournalLine, 'sig'>> = {}): JournalLine => {
  const { also, ...rest } = change;
  const line = { ...unsigned(rest), ...(also === undefined ? {} : { also }) };
  return { ...line, sig: signRaw(first, signed(line)) };
};

/** A file of `count` signed lines. */
export const chainOf = (count: number, change: Partial<UnsignedLine> = {}): string[] => {
  const texts: string[] = [];
  let build = change.build ?? '';
  let prev = '';
  for (let seq = 1; seq <= count; seq += 1) {
    const text = lineText(sealed({ type: 'remark', data: { text: `line ${seq}` }, ...change, build, seq, prev }));
    prev = lineHash(text);
    if (build === '') build = prev;
    texts.push(text);
  }
  return texts;
};
