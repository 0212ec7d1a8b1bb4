import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { err, ok, usage, wrong, type Fault, type Outcome } from '../fault/fault.ts';
import { readArmor } from '../proof/armor.ts';
import type { PublicKey } from '../proof/keys.ts';
import { readSignature, verifyRaw } from '../proof/sshsig.ts';
import { signerWith, type Signer } from './signer.ts';

/*
 * A key that lies in the person's ssh-agent. The private key never comes here: their own `ssh-keygen -Y sign` asks the agent, and
 * what it answers is taken apart, held against what was asked for, and verified before it is used.
 */

export type Variables = Readonly<Record<string, string | undefined>>;

/** An agent may ask its person before it signs; nobody waits longer. In ms; common practice, no source. */
const mostWaiting = 2 * 60_000;
const largestAnswer = 64 * 1024;

/** `error` is a code of the system's: ENOENT where the program is not there, ETIMEDOUT where it took too long. */
interface Ran {
  readonly status: number | null;
  readonly out: string;
  readonly said: string;
  readonly error?: string | undefined;
}

const run = (program: string, args: readonly string[], env: Variables, input: Uint8Array | string): Ran => {
  const ran = spawnSync(program, [...args], {
    input,
    env: { ...env, LC_ALL: 'C' },
    encoding: 'utf8',
    timeout: mostWaiting,
    maxBuffer: largestAnswer,
  });
  const error = ran.error && ('code' in ran.error ? String(ran.error.code) : ran.error.message);
  // without the program, node gives null for both texts
  const texts = { out: String(ran.stdout ?? ''), said: String(ran.stderr ?? '') };
  // one that ends before it has read what it was given says why by how it ends
  return { status: ran.status, ...texts, error: error === 'EPIPE' ? undefined : error };
};

const missing = usage(
  'agent-missing',
  'no ssh-agent answers',
  'start it and ssh-add the key, or sign with --key and the private key file',
);

const toolMissing = (program: string): Fault =>
  usage(
    'agent-tool',
    `${program} is not installed here`,
    'install OpenSSH, or sign with --key and the private key file',
  );

const slow = usage('agent-silent', 'the ssh-agent did not answer in time', 'answer what it asks, then try again');

/** ssh-keygen does not say why it got no signature; `ssh-add -L` lists what the agent has. */
const whyNot = (key: PublicKey, env: Variables, said: string): Fault => {
  const listed = run('ssh-add', ['-L'], env, '');
  if (listed.error === 'ENOENT') return toolMissing('ssh-add');
  if (listed.error === 'ETIMEDOUT') return slow;
  // ssh-add(1): 0 a list, 1 an agent without keys, 2 no agent
  if (listed.status !== 0 && listed.status !== 1) return missing;
  const isThere = listed.out.split('\n').some((line) => line === key.text || line.startsWith(`${key.text} `));
  if (!isThere)
    return usage(
      'agent-key',
      `the ssh-agent does not hold the key ${key.fingerprint}`,
      'add it (`ssh-add FILE`), or unlock the agent (`ssh-add -X`)',
    );
  const last = said.trim().split('\n').at(-1) ?? '';
  return usage('agent-refused', `the ssh-agent did not sign: ${last}`, 'allow it where the agent asks, then try again');
};

const odd = (what: string): { readonly ok: false; readonly fault: Fault } =>
  err(
    wrong('agent-answer', `what ssh-keygen answered is not the signature asked for: ${what}`, 'look at your ssh-agent'),
  );

/** The 64 bytes out of the armoured answer, if they are what was asked for. */
const takeApart = (
  answer: string,
  key: PublicKey,
  namespace: string,
  message: Uint8Array | string,
): Outcome<Uint8Array> => {
  const blob = readArmor(answer);
  if (!blob.ok) return odd(blob.fault.what);
  const signature = readSignature(blob.value);
  if (!signature.ok) return odd(signature.fault.what);
  const found = signature.value;
  if (found.namespace !== namespace) return odd(`it is for ${found.namespace}`);
  if (found.hash !== 'sha512') return odd(`it hashes with ${found.hash}`);
  if (found.key.fingerprint !== key.fingerprint) return odd(`it is by ${found.key.fingerprint}`);
  const verified = verifyRaw(found.raw, key, namespace, message);
  return verified.ok ? ok(found.raw) : odd(verified.fault.what);
};

/** The public key lies alone in a folder of its own: beside a private key, ssh-keygen would take that instead of the agent. */
const ask = (key: PublicKey, env: Variables, namespace: string, message: Uint8Array | string): Ran => {
  const folder = mkdtempSync(join(tmpdir(), 'dryfit-agent-'));
  try {
    const file = join(folder, 'key.pub');
    writeFileSync(file, `${key.text}\n`, { mode: 0o600 });
    return run('ssh-keygen', ['-Y', 'sign', '-n', namespace, '-f', file], env, message);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

/**
 * Signs with a key in the person's ssh-agent. One signature starts one `ssh-keygen`.
 * Codes: `agent-missing`, `agent-key` (it does not hold this key), `agent-refused`, `agent-silent`, `agent-tool` (no OpenSSH here),
 * `agent-answer` (it answered something else).
 * @param env where SSH_AUTH_SOCK and PATH stand.
 */
export const agentSigner = (key: PublicKey, env: Variables): Signer =>
  signerWith(key, (namespace, message) => {
    if ((env['SSH_AUTH_SOCK'] ?? '') === '') return err(missing);
    const ran = ask(key, env, namespace, message);
    if (ran.error === 'ENOENT') return err(toolMissing('ssh-keygen'));
    if (ran.error === 'ETIMEDOUT') return err(slow);
    if (ran.error !== undefined) return odd(ran.error);
    return ran.status === 0 ? takeApart(ran.out, key, namespace, message) : err(whyNot(key, env, ran.said));
  });
