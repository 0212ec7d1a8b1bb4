import crypto, { type KeyObject } from 'node:crypto';
import { syncBuiltinESMExports } from 'node:module';

/*
 * The same few signatures are checked in every one of many thousand cases, and take most of the time. Node's own check is not what is
 * tried here, and says the same each time: each question is asked once.
 */

const keys = new WeakMap<KeyObject, string>();
const keyText = (key: KeyObject): string => {
  const text = keys.get(key) ?? key.export({ format: 'jwk' }).x ?? '';
  keys.set(key, text);
  return text;
};

const asked = new Map<string, boolean>();
const most = 200_000;

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
  syncBuiltinESMExports();
};
