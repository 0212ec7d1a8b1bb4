import { chmodSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readKeyLine } from '../../src/proof/keys.ts';
import { writeSigners } from '../../src/proof/signers.ts';
import { verifyRaw, verifySshsig } from '../../src/proof/sshsig.ts';
import { agentSigner } from '../../src/signing/agent.ts';
import { codeOf, valueOf } from '../proof/outcomes.ts';
import { startAgent, type Agent } from '../support/agent.ts';
import { sshKeygen } from './openssh.ts';

/* Keys in a real ssh-agent, which the test starts and stops. */

let agent: Agent;
let folder: string;

const newKey = (name: string, passphrase = '') => {
  const path = join(folder, name);
  expect(sshKeygen(['-q', '-t', 'ed25519', '-a', '1', '-N', passphrase, '-f', path]).status).toBe(0);
  return { path, key: valueOf(readKeyLine(readFileSync(`${path}.pub`, 'utf8'))) };
};

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'dryfit-test-'));
  agent = await startAgent();
});
afterAll(async () => {
  await agent.stop();
  rmSync(folder, { recursive: true, force: true });
});

describe('a key in the ssh-agent', () => {
  it.each(['{"an":"entry"}', 'lines\nwithout end', '', 'ü'.repeat(5000)])(
    'signs like a key in a file: %#',
    (message) => {
      const { path, key } = newKey(`own-${message.length}`);
      expect(agent.add(path)).toBe(0);
      rmSync(path); // now only the agent has it
      const signer = agentSigner(key, agent.variables);
      expect(signer.fingerprint).toBe(key.fingerprint);
      const raw = valueOf(signer.signRaw('dryfit-entry', message));
      expect(raw.length).toBe(64);
      expect(codeOf(verifyRaw(raw, key, 'dryfit-entry', message))).toBe('taken');
      const armored = valueOf(signer.signArmored('dryfit-record', message));
      expect(codeOf(verifySshsig(armored, message, 'dryfit-record', [key]))).toBe('taken');
      const [signers, sig] = [join(folder, 'allowed_signers'), join(folder, 'sig')];
      writeFileSync(signers, writeSigners([{ person: 'first', key }]));
      writeFileSync(sig, armored);
      expect(
        sshKeygen(['-Y', 'verify', '-f', signers, '-I', 'first', '-n', 'dryfit-record', '-s', sig], message),
      ).toMatchObject({ status: 0 });
    },
  );

  it('is refused where the agent does not have it, or no longer has it', () => {
    const { path, key } = newKey('not-there');
    expect(codeOf(agentSigner(key, agent.variables).signRaw('dryfit-entry', 'x'))).toBe('agent-key');
    expect(agent.add(path)).toBe(0);
    expect(codeOf(agentSigner(key, agent.variables).signRaw('dryfit-entry', 'x'))).toBe('taken');
    expect(agent.add('-D')).toBe(0);
    expect(codeOf(agentSigner(key, agent.variables).signRaw('dryfit-entry', 'x'))).toBe('agent-key');
  });

  it('is refused where its person says no', () => {
    const { path, key } = newKey('asks-first');
    expect(agent.add('-c', path)).toBe(0); // nobody can be asked here, which counts as a refusal
    expect(codeOf(agentSigner(key, agent.variables).signRaw('dryfit-entry', 'x'))).toBe('agent-refused');
  });

  it('cannot sign where no agent answers', async () => {
    const { key } = newKey('nobody');
    const { SSH_AUTH_SOCK: _socket, ...without } = agent.variables;
    expect(codeOf(agentSigner(key, without).signRaw('dryfit-entry', 'x'))).toBe('agent-missing');
    const gone = { ...agent.variables, SSH_AUTH_SOCK: join(folder, 'no-socket') };
    expect(codeOf(agentSigner(key, gone).signRaw('dryfit-entry', 'x'))).toBe('agent-missing');
    const stopped = await startAgent();
    await stopped.stop();
    expect(codeOf(agentSigner(key, stopped.variables).signRaw('dryfit-entry', 'x'))).toBe('agent-missing');
  });

  it('needs OpenSSH', () => {
    const { key } = newKey('no-tool');
    expect(codeOf(agentSigner(key, { ...agent.variables, PATH: folder }).signRaw('dryfit-entry', 'x'))).toBe(
      'agent-tool',
    );
  });
});

describe('an unexpected answer of ssh-keygen is not accepted', () => {
  const answering = (script: string) => {
    const bin = mkdtempSync(join(folder, 'bin-'));
    mkdirSync(bin, { recursive: true });
    const file = join(bin, 'ssh-keygen');
    writeFileSync(file, `#!/bin/sh\n${script}\n`);
    chmodSync(file, 0o755);
    return { ...agent.variables, PATH: `${bin}:${process.env['PATH'] ?? ''}` };
  };
  const real = process.env['PATH']?.split(':').map((one) => join(one, 'ssh-keygen')) ?? [];
  const keygen = real.find((path) => {
    try {
      return readFileSync(path).length > 0;
    } catch {
      return false;
    }
  });

  it.each([
    ['nothing', 'exit 0'],
    ['no armour', 'echo a signature'],
    ['another namespace', `exec ${keygen ?? ''} -Y sign -q -n dryfit-hold -f KEY`],
    ['another hash', `exec ${keygen ?? ''} -Y sign -q -O hashalg=sha256 -n dryfit-entry -f KEY`],
    ['another key', `exec ${keygen ?? ''} -Y sign -q -n dryfit-entry -f OTHER`],
    ['another text', `echo something | ${keygen ?? ''} -Y sign -q -n dryfit-entry -f KEY`],
    ['more than a signature can be', 'yes | head -c 1000000'],
  ])('%s', (name, script) => {
    const [own, other] = [newKey(`odd ${name}`), newKey(`other ${name}`)];
    const variables = answering(script.replace('KEY', `'${own.path}'`).replace('OTHER', `'${other.path}'`));
    const signed = agentSigner(own.key, variables).signRaw('dryfit-entry', 'x');
    expect(codeOf(signed)).toBe('agent-answer');
  });
});
