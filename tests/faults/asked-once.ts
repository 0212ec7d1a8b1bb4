import crypto, { type KeyObject } from 'node:crypto';
import { syncBuiltinESMExports } from 'node:module';

/*
 * Every one of many thousand cases makes and checks the same few signatures, which takes much of the time. Node's own cryptography is not
 * under test here, and answers the same each time. So each question is asked once.
 */

const keys = new WeakMap<KeyObject, string>();
const keyText = (key: KeyObject): string => {
  const text = keys.get(key) ?? key.export({ format: 'jwk' }).x ?? '';
  keys.set(key, text);
  return text;
};

const asked = new Map<string, boolean>();
const most = 200_000;

/** The private key for bytes that were seen before. */
const madeOnce = (make: typeof crypto.createPrivateKey): typeof crypto.createPrivateKey => {
  const known = new Map<string, KeyObject>();
  return (given) => {
    const bytes = typeof given === 'object' && 'key' in given && Buffer.isBuffer(given.key) ? given.key : undefined;
    if (bytes === undefined) return make(given);
    const text = bytes.toString('latin1');
    const key = known.get(text) ?? make(given);
    if (known.size < most) known.set(text, key);
    return key;
  };
};

/** An Ed25519 signature of one key over one text. */
const signedOnce = (sign: typeof crypto.sign): typeof crypto.sign => {
  const known = new WeakMap<KeyObject, Map<string, Buffer>>();
  const remembered = (algorithm: null, data: Uint8Array, key: KeyObject): Buffer => {
    const ofKey = known.get(key) ?? new Map<string, Buffer>();
    known.set(key, ofKey);
    const text = Buffer.from(data).toString('latin1');
    const signature = ofKey.get(text) ?? sign(algorithm, data, key);
    if (ofKey.size < most) ofKey.set(text, signature);
    return Buffer.from(signature);
  };
  return remembered as typeof crypto.sign;
};

export const askOnce = (): void => {
  const { verify } = crypto;
  const remembered = (algorithm: null, data: Uint8Array, key: KeyObject, signature: Uint8Array): boolean => {
    const question = `${keyText(key)} ${Buffer.from(signature).toString('base64')} ${Buffer.from(data).toString('base64')}`;
    const known = asked.get(question);
    if (known !== undefined) return known;
    const answer = verify(algorithm, data, key, signature);
    if (asked.size < most) asked.set(question, answer);
    return answer;
  };
  crypto.verify = remembered as typeof crypto.verify;
  crypto.sign = signedOnce(crypto.sign);
  crypto.createPrivateKey = madeOnce(crypto.createPrivateKey);
  syncBuiltinESMExports();
};
