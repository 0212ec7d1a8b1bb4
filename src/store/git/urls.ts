import { isAbsolute, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

/* Addresses of remotes, as git reads them (git-fetch(1), "Git URLs"; gitremote-helpers(7) for `NAME::ADDRESS`). */

/** What git itself carries over such an address, without a helper program of any other name. */
const schemes: ReadonlySet<string> = new Set(['https', 'http', 'ssh', 'git', 'file']);

// eslint-disable-next-line no-control-regex -- finding control characters is what it is for
const control = /[\u0000-\u001f\u007f]/;
const withScheme = /^([A-Za-z0-9+.-]+):\/\/([^/]*)(.*)$/;
const drive = /^[A-Za-z]:[\\/]/;
/** `[USER@]HOST:PATH`, with no slash before the colon. */
const overSsh = /^([^/:]*|[^/:]*@?\[[^\]]*\]):(.*)$/;

const beginsWithDash = (...parts: readonly string[]): boolean => parts.some((part) => part.startsWith('-'));

const schemeTrouble = (scheme: string, authority: string): string | undefined => {
  if (!schemes.has(scheme)) return `"${scheme}" needs a helper program`;
  const [host = '', user = ''] = authority.split('@').toReversed();
  return beginsWithDash(host, user) ? 'its host begins with a dash, like an option' : undefined;
};

/** Why git might run something else for this address, or `undefined` where it is a plain address or path. */
export const urlTrouble = (url: string): string | undefined => {
  if (url === '') return 'it is empty';
  if (control.test(url)) return 'it has control characters';
  if (beginsWithDash(url)) return 'it begins with a dash, like an option';
  if (/^[^/]*::/.test(url)) return 'it names a helper program that carries the data';
  const [, scheme, authority = ''] = withScheme.exec(url) ?? [];
  if (scheme !== undefined) return schemeTrouble(scheme, authority);
  if (drive.test(url)) return undefined;
  const [, host, path = ''] = overSsh.exec(url) ?? [];
  if (host === undefined) return undefined;
  const [name = '', user = ''] = host.split('@').toReversed();
  return beginsWithDash(name, user, path) ? 'a part of it begins with a dash, like an option' : undefined;
};

/** The path that an address names on this machine, or `undefined` where it leads elsewhere. @param from the top of the work tree. */
export const localPath = (url: string, from: string): string | undefined => {
  if (url.startsWith('file://')) {
    try {
      return fileURLToPath(url);
    } catch {
      return undefined;
    }
  }
  if (isAbsolute(url) || drive.test(url)) return url;
  return withScheme.test(url) || overSsh.test(url) || /^[^/]*::/.test(url) ? undefined : resolve(from, url);
};
