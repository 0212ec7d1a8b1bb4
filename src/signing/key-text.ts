import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { isJsonObject, type Json } from '../proof/canonical.ts';
import { keyType, readKeyLine, type PublicKey } from '../proof/keys.ts';
import { isKeyFile, readKeyFile } from './openssh.ts';
import { isScryptEnvelope, readScryptEnvelope } from './scrypt-envelope.ts';
import type { LockedKey, OpenKey } from './secret.ts';

/** A public key in the place of a private one: the private key is in the person's ssh-agent. */
export interface AgentKey {
  readonly kind: 'agent';
  readonly publicKey: PublicKey;
}

/** The private key is in a file of the person's own, and stays there. */
export interface ElsewhereKey {
  readonly kind: 'elsewhere';
  readonly path: string;
}

/** What a key file holds: a key, a key under a passphrase, or where the key is. */
export type KeyText = OpenKey | LockedKey | AgentKey | ElsewhereKey;

const elsewhereName = 'dryfit-key-elsewhere';

/** The text of a key file that names another file. */
export const elsewhereText = (path: string): string => `${JSON.stringify({ kind: elsewhereName, path, v: 1 })}\n`;

/** The text of a key file that stands for a key in the agent: the line that ssh-keygen writes into a `.pub` file. */
export const agentText = ({ text }: PublicKey): string => `${text} in the ssh-agent\n`;

const readElsewhere = (text: string): Outcome<ElsewhereKey> => {
  const damaged = err(
    usage('key-file', 'what says where the key lies is damaged', 'say it again: dryfit key here --key FILE'),
  );
  try {
    const json = JSON.parse(text) as Json;
    if (!isJsonObject(json) || json['v'] !== 1 || typeof json['path'] !== 'string') return damaged;
    return ok({ kind: 'elsewhere', path: json['path'] });
  } catch {
    return damaged;
  }
};

/**
 * Reads the text of a key file: an OpenSSH private key, or the older format of one under a passphrase; the public half of a key in the
 * ssh-agent; or the name of the file that holds the key. Codes `key-file`, `key-file-locked`, those of `readKeyLine`.
 */
export const readKeyText = (text: string): Outcome<KeyText> => {
  if (isKeyFile(text)) return readKeyFile(text);
  if (isScryptEnvelope(text)) return readScryptEnvelope(text);
  if (text.startsWith('{') && text.includes(`"${elsewhereName}"`)) return readElsewhere(text);
  if (!text.trimStart().startsWith(`${keyType} `))
    return err(
      usage(
        'key-file',
        'not a key file',
        `Give an OpenSSH private key of type ${keyType}, or the .pub file of one that lies in your ssh-agent`,
      ),
    );
  const publicKey = readKeyLine(text);
  return publicKey.ok ? ok({ kind: 'agent', publicKey: publicKey.value }) : err({ ...publicKey.fault, kind: 'usage' });
};
