import { describe, expect, it } from 'vitest';
import { keysFor, maxSigners, readSigners, signerLine, writeSigners } from '../../src/proof/signers.ts';
import { first, second } from './lines.ts';
import { codeOf, valueOf } from './outcomes.ts';

const people = [
  { person: 'first', key: first.key },
  { person: 'second-person', key: second.key },
];

describe('allowed_signers', () => {
  it('has one line for each key, with every namespace and no end date', () => {
    expect(signerLine('first', first.key)).toBe(
      `first namespaces="dryfit-record,dryfit-entry,dryfit-hold" ${first.key.text}`,
    );
  });

  it('reads back as it was written', () => {
    const { signers, passed } = valueOf(readSigners(writeSigners(people)));
    expect(signers.map(({ person, key }) => [person, key.text])).toEqual(people.map((p) => [p.person, p.key.text]));
    expect(signers[0]?.namespaces).toEqual(['dryfit-record', 'dryfit-entry', 'dryfit-hold']);
    expect(passed).toEqual([]);
  });

  it('may hold comments, empty lines, CRLF, several people for one key, and lines without options', () => {
    const text = `# who\r\n\r\nfirst,second ${first.key.text} at the bench\r\n`;
    expect(valueOf(readSigners(text)).signers.map(({ person }) => person)).toEqual(['first', 'second']);
  });

  it.each([
    [`first ssh-rsa AAAAB3NzaC1yc2E=`, 'key-type'],
    [`first valid-before="20300101" ${first.key.text}`, 'signers-option'],
    [`first cert-authority ${first.key.text}`, 'signers-option'],
    [`first namespaces="a b",cert-authority ${first.key.text}`, 'signers-option'],
    [`* ${first.key.text}`, 'signers-person'],
    [`first@example.org ${first.key.text}`, 'signers-person'],
    [`!first ${first.key.text}`, 'signers-person'],
    ['first', 'signers-person'],
    ['first ssh-ed25519 AAAA', 'key-malformed'],
  ])('passes over %j by name', (line, code) => {
    const { signers, passed } = valueOf(readSigners(`${signerLine('second', second.key)}\n${line}\n`));
    expect(signers).toHaveLength(1);
    expect(passed.map((fault) => [fault.code, fault.where])).toEqual([[code, 'allowed_signers:2']]);
  });

  it('is refused unread when it is too long', () => {
    expect(codeOf(readSigners('x'.repeat(maxSigners + 1)))).toBe('signers-long');
  });

  it('gives a key only for the purposes it may sign for', () => {
    const { signers } = valueOf(
      readSigners(`first namespaces="dryfit-hold" ${first.key.text}\nsecond ${second.key.text}\n`),
    );
    expect(keysFor(signers, 'dryfit-record').map(({ person }) => person)).toEqual(['second']);
    expect(keysFor(signers, 'dryfit-hold').map(({ person }) => person)).toEqual(['first', 'second']);
    expect(keysFor(signers, 'dryfit-hold', 'second').map(({ person }) => person)).toEqual(['second']);
  });
});
