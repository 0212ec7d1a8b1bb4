import { err, ok, wrong, type Outcome } from '../fault/fault.ts';
import { readBase64 } from './wire.ts';

/** In characters. One of our armoured signatures has some 300; a longer file is not a signature. */
const maxArmored = 64 * 1024;

const first = '-----BEGIN SSH SIGNATURE-----';
const last = '-----END SSH SIGNATURE-----';
const width = 70;

const notArmor = (what: string): { readonly ok: false; readonly fault: ReturnType<typeof wrong> } =>
  err(wrong('signature-armour', what, 'Give the .sig file as `ssh-keygen -Y sign` wrote it'));

/** The armour of PROTOCOL.sshsig around the blob of a signature, in lines of 70 characters as OpenSSH writes them. */
export const writeArmor = (blob: Uint8Array): string => {
  const encoded = Buffer.from(blob).toString('base64');
  const lines = encoded.match(new RegExp(`.{1,${width}}`, 'g')) ?? [];
  return `${[first, ...lines, last].join('\n')}\n`;
};

/** The blob inside the armour. Lines may end in LF or CRLF; no text is allowed before or after. Code `signature-armour`. */
export const readArmor = (text: string): Outcome<Uint8Array> => {
  if (text.length > maxArmored) return notArmor(`longer than ${maxArmored} characters: no signature`);
  const lines = text.replace(/\r?\n$/, '').split(/\r?\n/);
  if (lines[0] !== first) return notArmor(`does not begin with ${first}`);
  if (lines.length < 2 || lines.at(-1) !== last) return notArmor(`does not end with ${last}`);
  const blob = readBase64(lines.slice(1, -1).join(''));
  return blob === undefined ? notArmor('the lines between its marks are not base64') : ok(blob);
};
