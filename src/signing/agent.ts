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
 * A key in the person's ssh-agent. dryfit never sees the private key: the person's own `ssh-keygen -Y sign` asks the agent, and
 * its answer is parsed, compared with the request and verified before it is used.
 */

export type Variables = Readonly<Record<string, string | undefined>>;

/** An agent may ask its person before it signs; this is how long dryfit waits for it. In ms; common practice, no source. */
const mostWaiting = 2 * 60_000;
const largestAnswer = 64 * 1024;

/** `error` is a code of the operating system: ENOENT where the program does not exist, ETIMEDOUT where it took too long. */
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
  // where the program does not exist, node gives null for both texts
  const texts = { out: String(ran.stdout ?? ''), said: String(ran.stderr ?? '') };
  // EPIPE: the program ended before it read all its input; its exit status says why
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

const silent = usage('agent-silent', 'the ssh-agent did not answer in time', 'answer what it asks, then try again');

/** Why ssh-keygen gave no signature. It does not say so itself; `ssh-add -L` lists the keys of the agent. */
const whyNot = (key: PublicKey, env: Variables, said: string): Fault => {
  const listed = run('ssh-add', ['-L'], env, '');
  if (listed.error === 'ENOENT') return toolMissing('ssh-add');
  if (listed.error === 'ETIMEDOUT') return silent;
  // exit status of ssh-add(1): 0 for a list of keys, 1 for an agent without keys, 2 for no agent
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

const unexpected = (what: string): { readonly ok: false; readonly fault: Fault } =>
  err(
    wrong('agent-answer', `what ssh-keygen answered is not the signature asked for: ${what}`, 'look at your ssh-agent'),
  );

/** The 64 bytes of the armoured answer, if it is the signature that was asked for. */
const readAnswer = (
  answer: string,
  key: PublicKey,
  namespace: string,
  message: Uint8Array | string,
): Outcome<Uint8Array> => {
  const blob = readArmor(answer);
  if (!blob.ok) return unexpected(blob.fault.what);
  const signature = readSignature(blob.value);
  if (!signature.ok) return unexpected(signature.fault.what);
  const found = signature.value;
  if (found.namespace !== namespace) return unexpected(`it is for ${found.namespace}`);
  if (found.hash !== 'sha512') return unexpected(`it hashes with ${found.hash}`);
  if (found.key.fingerprint !== key.fingerprint) return unexpected(`it is by ${found.key.fingerprint}`);
  const verified = verifyRaw(found.raw, key, namespace, message);
  return verified.ok ? ok(found.raw) : unexpected(verified.fault.what);
};

/** The public key is written into an empty folder: beside a private key file, ssh-keygen would use that file instead of the agent. */
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
 * Signs with a key in the person's ssh-agent. Each signature starts one `ssh-keygen`.
 * Codes: `agent-missing`, `agent-key` (the agent does not have this key), `agent-refused`, `agent-silent`, `agent-tool` (OpenSSH
 * is not installed), `agent-answer` (the answer is not the signature asked for).
 * @param env gives SSH_AUTH_SOCK and PATH.
 */
export const agentSigner = (key: PublicKey, env: Variables): Signer =>
  signerWith(key, (namespace, message) => {
    if ((env['SSH_AUTH_SOCK'] ?? '') === '') return err(missing);
    const ran = ask(key, env, namespace, message);
    if (ran.error === 'ENOENT') return err(toolMissing('ssh-keygen'));
    if (ran.error === 'ETIMEDOUT') return err(silent);
    if (ran.error !== undefined) return unexpected(ran.error);
    return ran.status === 0 ? readAnswer(ran.out, key, namespace, message) : err(whyNot(key, env, ran.said));
  });
