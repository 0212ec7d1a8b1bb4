import { describe, expect, it } from 'vitest';
import { keysFor, maxSigners, readSigners, signerLine, signerOf, writeSigners } from '../../src/proof/signers.ts';
import { first, second } from './lines.ts';
import * as openssh from '../vectors/openssh/signature.ts';
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
    ['first ssh-ed25519', 'signers-person'],
  ])('passes over %j by name', (line, code) => {
    const { signers, passed } = valueOf(readSigners(`${signerLine('second', second.key)}\n${line}\n`));
    expect(signers).toHaveLength(1);
    expect(passed.map((fault) => [fault.code, fault.where])).toEqual([[code, 'allowed_signers:2']]);
  });

  it('is refused unread when it is too long', () => {
    expect(maxSigners).toBe(1_048_576);
    expect(codeOf(readSigners('x'.repeat(maxSigners + 1)))).toBe('signers-long');
    expect(codeOf(readSigners(`#${' '.repeat(maxSigners - 1)}`))).toBe('taken');
    const refused = readSigners('x'.repeat(maxSigners + 1), 'other_signers');
    expect(refused.ok ? '' : refused.fault.where).toBe('other_signers');
  });

  it.each([
    [`"first" ${first.key.text}`, ['first']],
    [`"first,second" ${first.key.text}`, ['first', 'second']],
    [`first\t${first.key.text}`, ['first']],
    [`first  namespaces="dryfit-hold"\t ${first.key.text}  at the bench`, ['first']],
    [`  first NAMESPACES="dryfit-hold" ${first.key.text}`, ['first']],
    [`   # first ${first.key.text}`, []],
    [`\t`, []],
  ])('reads %j', (line, people) => {
    const { signers, passed } = valueOf(readSigners(line));
    expect(signers.map(({ person }) => person)).toEqual(people);
    expect(passed.length).toBe(line.includes('#') ? 1 : 0);
  });

  it('has a line end after each key, and the places of faults are counted from the first line', () => {
    expect(writeSigners(people)).toBe(
      `${signerLine('first', first.key)}\n${signerLine('second-person', second.key)}\n`,
    );
    expect(writeSigners([])).toBe('');
    const { passed } = valueOf(readSigners('\n# who\nx y z\r\n\nfirst\n', 'those'));
    expect(passed.map(({ where }) => where)).toEqual(['those:3', 'those:5']);
  });

  it('keeps what each key may sign for, or nothing where the line does not say', () => {
    const { signers } = valueOf(
      readSigners(`first namespaces="dryfit-hold,file" ${first.key.text}\nsecond ${second.key.text}\n`),
    );
    expect(signers.map(({ namespaces }) => namespaces)).toEqual([['dryfit-hold', 'file'], undefined]);
    expect('namespaces' in (signers[1] ?? {})).toBe(false);
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

describe('who signed', () => {
  const signersOf = (text: string) => valueOf(readSigners(text)).signers;
  const who = (text: string, namespace = openssh.namespace, message = openssh.message): string => {
    const outcome = signerOf(openssh.signature, message, namespace, signersOf(text));
    return outcome.ok ? outcome.value.person : outcome.fault.code;
  };

  it.each([
    [`tester ${openssh.key}`, 'tester'],
    [`first ${first.key.text}\ntester ${openssh.key}\nsecond ${second.key.text}`, 'tester'],
    [`tester namespaces="file,unittest" ${openssh.key}`, 'tester'],
    [`tester namespaces="file" ${openssh.key}`, 'signature-key'],
    [`tester namespaces="file" ${openssh.key}\nother ${openssh.key}`, 'other'],
    [`first ${first.key.text}`, 'signature-key'],
    ['', 'signature-key'],
  ])('OpenSSH’s own vector, by %j: %s', (text, expected) => {
    expect(who(text)).toBe(expected);
  });

  it('is nobody for another text or another purpose', () => {
    expect(who(`tester ${openssh.key}`, openssh.namespace, 'another text')).toBe('signature-false');
    expect(who(`tester ${openssh.key}`, 'dryfit-hold')).toBe('signature-namespace');
  });
});
