import { describe, expect, it } from 'vitest';
import { invitationText, readSigned, type Invitation } from '../../src/aircraft/invitation.ts';
import { engineWith } from '../support/engine.ts';

const key = `ssh-ed25519 ${Buffer.concat([
  Buffer.from('0000000b7373682d6564323535313900000020', 'hex'),
  Buffer.alloc(32, 7),
]).toString('base64')}`;

/** Into another build: what is well formed is refused for that, and what is not is unreadable before. */
const whole: Invitation = { v: 1, build: 'f'.repeat(64), person: 'ada', key };

const codeOf = (text: string): string => {
  const read = readSigned(engineWith([]).state(), text, '');
  return read.ok ? 'taken' : read.fault.code;
};

const written = (change: object): string => invitationText({ ...whole, ...change });

describe('an invitation', () => {
  it.each([
    ['plain', {}],
    ['with a name', { name: 'Ada Lind' }],
    ['with powers', { powers: ['inspector'] }],
    ['with the key that it replaces', { replaces: `SHA256:${'A'.repeat(43)}` }],
  ])('that is well formed is read: %s', (_, change) => {
    expect(codeOf(written(change))).toBe('invitation-build');
    expect(codeOf(written(change).replace('\n', '\r\n'))).toBe('invitation-build');
  });

  it.each([
    ['of another version', { v: 2 }],
    ['without a person', { person: undefined }],
    ['without a build', { build: undefined }],
    ['into a build without a name', { build: '' }],
    ['of a person whose id cannot be one', { person: 'Ada Lind' }],
    ['of a person who is a number', { person: 7 }],
    ['with an empty name', { name: '' }],
    ['with a name of 201 letters', { name: 'a'.repeat(201) }],
    ['with no power in its list', { powers: [] }],
    ['with a power that nobody signs for', { powers: ['inspector', 'helper'] }],
    ['with powers that are no list', { powers: 'inspector' }],
    ['that replaces no key', { replaces: 'the old one' }],
    ['with a key that is none', { key: 'ssh-ed25519 AAAA' }],
    ['with a word more', { remark: 'welcome' }],
  ])('is unreadable %s', (_, change) => {
    const given = Object.fromEntries(
      Object.entries({ ...whole, ...change }).filter(([, value]) => value !== undefined),
    );
    expect(codeOf(invitationText(given as unknown as Invitation))).toBe('invitation-unreadable');
  });

  it.each(['', '[]\n', '7\n', '{}\n', `${JSON.stringify(whole)} \n`])('is not %j', (text) => {
    expect(codeOf(text)).toBe('invitation-unreadable');
  });
});
