import { urlTrouble } from './urls.ts';

/*
 * What a repository may set by itself. A received folder brings its own `.git/config`, and more than fifty settings of git name a
 * program, another file of settings or another place for data. So this is a list of what is known to be harmless; everything else
 * is refused by name until a person has confirmed it. Names and meanings: git-config(1), git 2.39.
 */

/** One setting as git prints it: section and name in small letters, a subsection as it was written. */
export interface Setting {
  readonly key: string;
  /** `undefined` where the file has the key alone. */
  readonly value: string | undefined;
}

type Rule = (value: string, name: string) => boolean;

const any: Rule = () => true;
const oneOf =
  (...values: readonly string[]): Rule =>
  (value) =>
    values.includes(value.toLowerCase());
const yesNo = oneOf('true', 'false', 'yes', 'no', 'on', 'off', '1', '0', '');
const like =
  (form: RegExp): Rule =>
  (value) =>
    form.test(value);

const word = like(/^[\w.+-]{1,40}$/);

/** Settings without a subsection. */
const plain: Readonly<Record<string, Rule>> = {
  'core.repositoryformatversion': oneOf('0', '1'),
  'core.filemode': yesNo,
  'core.bare': yesNo,
  'core.logallrefupdates': oneOf('true', 'false', 'always'),
  'core.ignorecase': yesNo,
  'core.precomposeunicode': yesNo,
  'core.symlinks': yesNo,
  'core.autocrlf': oneOf('true', 'false', 'input'),
  'core.eol': oneOf('lf', 'crlf', 'native'),
  'core.safecrlf': oneOf('true', 'false', 'warn'),
  'core.quotepath': yesNo,
  'core.sharedrepository': word,
  'core.compression': word,
  'core.longpaths': yesNo,
  'core.hidedotfiles': word,
  'extensions.objectformat': oneOf('sha1', 'sha256'),
  'extensions.refstorage': oneOf('files', 'reftable'),
  'user.name': any,
  'user.email': any,
  'user.useconfigonly': yesNo,
  'init.defaultbranch': any,
  'pull.rebase': word,
  'pull.ff': word,
  'merge.ff': word,
  'push.default': word,
  'push.autosetupremote': yesNo,
  'fetch.prune': yesNo,
  'gc.auto': word,
  'color.ui': word,
  'receive.denynonfastforwards': yesNo,
  'receive.denydeletes': yesNo,
  'receive.denycurrentbranch': word,
};

/** A name of a remote or branch that no program can take for an option or for anything but a name. */
export const isPlainName = (name: string): boolean =>
  /^[A-Za-z0-9_][\w./+@-]{0,199}$/.test(name) && !name.includes('..') && !name.includes('//');

const branch = like(/^refs\/heads\/[A-Za-z0-9_][\w./+@-]{0,199}$/);

const fetches: Rule = (value, name) =>
  value === '+refs/tags/*:refs/tags/*' ||
  (/^\+?refs\/heads\/[\w./+@*-]+:refs\/remotes\/[\w./+@*-]+$/.test(value) && value.includes(`:refs/remotes/${name}/`));

/** Settings with a subsection, by section and name. */
const named: Readonly<Record<string, Rule>> = {
  'remote.url': (value) => urlTrouble(value) === undefined,
  'remote.pushurl': (value) => urlTrouble(value) === undefined,
  'remote.fetch': fetches,
  'remote.prune': yesNo,
  'remote.tagopt': (value) => value === '--no-tags' || value === '--tags',
  'branch.remote': isPlainName,
  'branch.pushremote': isPlainName,
  'branch.merge': branch,
  'branch.rebase': word,
  'branch.description': any,
};

/** The section, the subsection if there is one, and the name of a key. */
export const partsOf = (
  key: string,
): { readonly section: string; readonly subsection?: string; readonly name: string } => {
  const [first, last] = [key.indexOf('.'), key.lastIndexOf('.')];
  const [section, name] = [key.slice(0, first), key.slice(last + 1)];
  return first === last ? { section, name } : { section, subsection: key.slice(first + 1, last), name };
};

/** True for a setting that makes git run nothing, read nothing elsewhere and send nothing elsewhere. */
export const isHarmless = ({ key, value }: Setting): boolean => {
  const { section, subsection, name } = partsOf(key);
  const table = subsection === undefined ? plain : named;
  const rule = subsection === undefined ? key : `${section}.${name}`;
  if (!Object.hasOwn(table, rule) || (subsection !== undefined && !isPlainName(subsection))) return false;
  return table[rule]?.(value ?? '', subsection ?? '') === true;
};

/** What a setting that is not harmless does, for the person who is to confirm it. The first that fits counts. */
const dangers: readonly (readonly [RegExp, string])[] = [
  [/^core\.hookspath$/, 'runs programs before and after git works'],
  [/^core\.fsmonitor$/, 'runs a program whenever git looks at files'],
  [/^(include|includeif)\./, 'takes settings from another file'],
  [/^filter\..*\.(clean|smudge|process)$/, 'runs a program on the content of files'],
  [/^diff\.(external|.*\.(command|textconv))$/, 'runs a program to compare files'],
  [/^(merge|mergetool|difftool|man|browser|guitool|pager|trailer|sendemail|interactive)\./, 'runs a program'],
  [/^core\.(sshcommand|gitproxy)$/, 'runs a program to reach a remote'],
  [/^core\.(editor|pager|askpass|alternaterefscommand)$|^sequence\.editor$/, 'runs a program'],
  [
    /^(gpg\.|commit\.gpgsign$|tag\.gpgsign$|push\.gpgsign$|user\.signingkey$)/,
    'runs a program that signs, or chooses its key',
  ],
  [/^credential\./, 'runs a program that has your passwords'],
  [/^(http\.|url\.|remote\..*\.proxy)/, 'may send what you share elsewhere'],
  [/^remote\..*\.(url|pushurl)$/, 'names a remote by more than a plain address'],
  [/^remote\..*\.(uploadpack|receivepack|vcs)$/, 'runs a program to reach a remote'],
  [/^(remote\..*\.(promisor|partialclonefilter)|extensions\.partialclone$)/, 'lets git fetch by itself'],
  [/^(core\.worktree|extensions\.worktreeconfig)$/, 'makes git work in another folder, or with more settings'],
  [/^(protocol\.|submodule\.|transfer\.|fetch\.|uploadpack\.|receive\.)/, 'changes what git takes from elsewhere'],
  [/^core\.attributesfile$/, 'takes rules for files from another place'],
  [/^alias\./, 'gives a command of git another meaning'],
];

export const dangerOf = (key: string): string =>
  dangers.find(([form]) => form.test(key))?.[1] ?? 'sync does not know this setting as harmless';
