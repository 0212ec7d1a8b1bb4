import { expect, it } from 'vitest';
import { agentText, elsewhereText, readKeyText } from '../../src/signing/key-text.ts';
import { writeKeyFile } from '../../src/signing/openssh.ts';
import { newSecret } from '../../src/signing/secret.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import { fixedRandom } from './openssh.ts';
import { scryptEnvelope } from './scrypt-envelopes.ts';

const random = fixedRandom();
const secret = newSecret(random);
const passphrase = 'keel and strut';

it.each([
  ['openssh', writeKeyFile(secret, '', { passphrase, random, rounds: 1 })],
  ['scrypt', scryptEnvelope(secret, passphrase, random)],
])('a key file under a passphrase is recognised and opened: %s', (format, text) => {
  const locked = valueOf(readKeyText(text));
  expect(locked).toMatchObject({ kind: 'locked', format });
  expect(locked.kind === 'locked' && codeOf(locked.unlock(passphrase))).toBe('taken');
});

it('every other kind of key file is recognised', () => {
  expect(valueOf(readKeyText(writeKeyFile(secret, ''))).kind).toBe('open');
  expect(valueOf(readKeyText(`${secret.publicKey.text} a comment\n`)).kind).toBe('agent');
  expect(valueOf(readKeyText(agentText(secret.publicKey))).kind).toBe('agent');
  expect(valueOf(readKeyText(elsewhereText('/a path/with "quotes"')))).toEqual({
    kind: 'elsewhere',
    path: '/a path/with "quotes"',
  });
});

it.each([
  ['the name of a file, without the file', '{"kind":"dryfit-key-elsewhere"}', 'key-file'],
  ['a key of another type', 'ssh-rsa AAAA', 'key-file'],
  ['a damaged public key', 'ssh-ed25519 AAAA', 'key-malformed'],
  ['nothing', '', 'key-file'],
])('%s is refused', (_, text, code) => {
  expect(codeOf(readKeyText(text))).toBe(code);
});
