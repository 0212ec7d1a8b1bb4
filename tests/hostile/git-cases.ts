import { execFileSync } from 'node:child_process';
import { copyFileSync, cpSync, readFileSync, renameSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import type { GitScene } from './git-scene.ts';

/** One way in which a folder that was handed over tries to run a program, or to reach elsewhere. */
export interface HostileGit {
  readonly plant: (scene: GitScene) => void;
  /** What the refusal must name. */
  readonly names: RegExp;
  /** 3 unless said otherwise: refused by a rule. */
  readonly code?: 1 | 2;
}

const setting = (key: string, value: (scene: GitScene) => string, shown = key.toLowerCase()): HostileGit => ({
  plant: (scene) => scene.set(key, value(scene)),
  names: new RegExp(`git-settings: [^;]*${shown.replaceAll(/[.*+?^${}()|[\]\\]/g, String.raw`\$&`)}`, 'i'),
});
const program = (key: string, shown?: string): HostileGit => setting(key, ({ evil }) => evil, shown);

const named = (names: string): RegExp => new RegExp(`git-settings: [^;]*${names}`);

/** Attributes for every file, in the state and in the repository, so that a filter or driver would be used. */
const attributes = ({ put, state }: GitScene, rule: string): void =>
  void put(join(state, '.gitattributes'), `* ${rule}\n`);

const withDriver = (rule: string, key: string): HostileGit => ({
  plant: (scene) => {
    attributes(scene, rule);
    scene.set(key, scene.evil);
  },
  names: named(key.replaceAll('.', String.raw`\.`)),
});

const included = ({ put, gitDir, evil }: GitScene): string =>
  put(join(gitDir, 'more'), `[core]\n\tfsmonitor = ${evil}\n\tsshCommand = ${evil}\n`);

const remote = (url: (scene: GitScene) => string, names = String.raw`remote\.origin\.url`): HostileGit => ({
  plant: (scene) => {
    scene.git('config', 'remote.origin.url', url(scene));
  },
  names: named(names),
});

/** A hook of that name. */
const hook = (name: string): HostileGit => ({
  plant: ({ evil, gitDir, put }) => put(join(gitDir, 'hooks', name), readFileSync(evil, 'utf8')),
  names: named(`hooks/${name}`),
});

const elsewhere = (scene: GitScene): string => {
  const other = join(scene.folder, 'elsewhere.git');
  cpSync(scene.gitDir, other, { recursive: true });
  scene.put(join(other, 'hooks/pre-commit'), readFileSync(scene.evil, 'utf8'));
  return other;
};

/** The remote is a folder too, and may have been handed over with the state. */
const inRemote = (plant: (scene: GitScene) => void, names: string): HostileGit => ({ plant, names: named(names) });

/** A remote or branch by a name that a program may take for an option. */
const renamed = (name: string): HostileGit => ({
  plant: ({ gitDir }) => {
    const config = join(gitDir, 'config');
    const text = readFileSync(config, 'utf8').replace('[remote "origin"]', `[remote "${name}"]`);
    writeFileSync(config, text.replaceAll('remote = origin', `remote = ${name}`));
  },
  names: named(String.raw`remote\.-`),
});

/** By name. Sources: git-config(1), githooks(5), gitattributes(5), gitrepository-layout(5), gitremote-helpers(7), git 2.39. */
export const hostileGits: Readonly<Record<string, HostileGit>> = {
  'a hook before the commit': hook('pre-commit'),
  'a hook after the commit': hook('post-commit'),
  'a hook before the push': hook('pre-push'),
  'a hook for every reference': hook('reference-transaction'),
  'a hook for the index': hook('post-index-change'),
  'a hook after the merge': hook('post-merge'),
  'hooks in another folder': {
    plant: (scene) => {
      scene.put(join(scene.state, 'attachments/pre-commit'), readFileSync(scene.evil, 'utf8'));
      scene.set('core.hooksPath', 'attachments');
    },
    names: named('core\\.hookspath'),
  },
  'a file system monitor': program('core.fsmonitor'),
  'a monitor whose key is written in capitals': program('CORE.FSMonitor', 'core.fsmonitor'),
  'settings included': setting('include.path', (scene) => included(scene) && 'more'),
  'settings included for one folder': setting('includeIf.gitdir:**.path', included, 'includeif'),
  'settings included for one branch': setting('includeIf.onbranch:main.path', included, 'includeif'),
  'settings included for a remote': setting('includeIf.hasconfig:remote.*.url:**.path', included, 'includeif'),
  'settings of one work tree': {
    plant: (scene) => {
      scene.set('extensions.worktreeConfig', 'true');
      scene.put(join(scene.gitDir, 'config.worktree'), `[core]\n\tfsmonitor = ${scene.evil}\n`);
    },
    names: named('config\\.worktree'),
  },
  'a .git file that leads elsewhere': {
    plant: (scene) => {
      const other = elsewhere(scene);
      rmSync(scene.gitDir, { recursive: true });
      scene.put(scene.gitDir, `gitdir: ${other}\n`);
    },
    names: named(String.raw`\.git, `),
  },
  'a .git that is a link': {
    plant: (scene) => {
      const other = elsewhere(scene);
      rmSync(scene.gitDir, { recursive: true });
      symlinkSync(other, scene.gitDir);
    },
    names: named(String.raw`\.git, `),
  },
  'a .git file that leads nowhere': {
    plant: ({ gitDir, put }) => {
      rmSync(gitDir, { recursive: true });
      put(gitDir, 'gitdir: /nowhere/at/all\n');
    },
    names: /there is no such file/,
    code: 1,
  },
  'a .git that is a pipe': {
    plant: ({ gitDir }) => {
      rmSync(gitDir, { recursive: true });
      execFileSync('mkfifo', [gitDir]);
    },
    names: /git-odd: it is neither a file nor a folder/,
    code: 1,
  },
  'settings that are a pipe': {
    plant: ({ gitDir }) => {
      rmSync(join(gitDir, 'config'));
      execFileSync('mkfifo', [join(gitDir, 'config')]);
    },
    names: /git-odd: it is neither a file nor a folder/,
    code: 1,
  },
  'settings that are a link': {
    plant: ({ gitDir, folder }) => {
      renameSync(join(gitDir, 'config'), join(folder, 'config'));
      symlinkSync(join(folder, 'config'), join(gitDir, 'config'));
    },
    names: named('config'),
  },
  'settings that are not settings': {
    plant: ({ gitDir, put }) => put(join(gitDir, 'config'), '[core\nhooksPath = /\n'),
    names: /bad config line 1/,
    code: 1,
  },
  'an index that is a link': {
    plant: ({ gitDir, folder }) => {
      rmSync(join(gitDir, 'index'));
      symlinkSync(join(folder, 'home/.profile'), join(gitDir, 'index'));
    },
    names: named('index'),
  },
  'a common folder elsewhere': {
    plant: (scene) => scene.put(join(scene.gitDir, 'commondir'), `${elsewhere(scene)}\n`),
    names: named('commondir, hooks/pre-commit'),
  },
  'a repository within the state, without .git': {
    plant: (scene) => {
      for (const name of ['HEAD', 'objects', 'refs', 'config'])
        cpSync(join(scene.gitDir, name), join(scene.state, name), { recursive: true });
      scene.put(join(scene.state, 'hooks/pre-commit'), readFileSync(scene.evil, 'utf8'));
      rmSync(scene.gitDir, { recursive: true });
    },
    names: /git-none/,
    code: 2,
  },
  'content of another repository': {
    plant: (scene) => scene.put(join(scene.gitDir, 'objects/info/alternates'), `${join(scene.bare, 'objects')}\n`),
    names: named('objects/info/alternates'),
  },
  'a program that names what other repositories have': {
    plant: (scene) => {
      scene.put(join(scene.gitDir, 'objects/info/alternates'), `${join(scene.bare, 'objects')}\n`);
      scene.set('core.alternateRefsCommand', scene.evil);
    },
    names: named('objects/info/alternates, core\\.alternaterefscommand'),
  },
  'a filter on the way in': withDriver('filter=x', 'filter.x.clean'),
  'a filter on the way out': withDriver('filter=x', 'filter.x.smudge'),
  'a filter that stays running': withDriver('filter=x', 'filter.x.process'),
  'rules for files in the repository': {
    plant: (scene) => {
      scene.put(join(scene.gitDir, 'info/attributes'), '* filter=x\n');
      scene.set('filter.x.clean', scene.evil);
    },
    names: named('info/attributes, filter\\.x\\.clean'),
  },
  'rules for files elsewhere': setting('core.attributesFile', ({ put, gitDir }) =>
    put(join(gitDir, 'rules'), '* text\n'),
  ),
  'a program that merges': withDriver('merge=x', 'merge.x.driver'),
  'a program that compares': program('diff.external'),
  'a program that compares one kind': withDriver('diff=x', 'diff.x.command'),
  'a program that makes text': withDriver('diff=x', 'diff.x.textconv'),
  'a program for ssh': {
    plant: (scene) => {
      scene.git('config', 'remote.origin.url', 'ssh://example.invalid/build.git');
      scene.set('core.sshCommand', scene.evil);
    },
    names: named('core\\.sshcommand'),
  },
  'a program between git and the network': {
    plant: (scene) => {
      scene.git('config', 'remote.origin.url', 'git://example.invalid/build.git');
      scene.set('core.gitProxy', scene.evil);
    },
    names: named('core\\.gitproxy'),
  },
  'a proxy for the network': setting('http.proxy', () => 'http://127.0.0.1:9'),
  'an address that is another one': setting('url.ext::sh.insteadOf', () => '../', 'url.ext::sh.insteadof'),
  'a remote that is a program': remote(({ evil }) => `ext::${evil}`),
  'a remote that is a program, with ext allowed': {
    plant: (scene) => {
      scene.git('config', 'remote.origin.url', `ext::${scene.evil}`);
      scene.set('protocol.ext.allow', 'always');
    },
    names: named('remote\\.origin\\.url, protocol\\.ext\\.allow'),
  },
  'a remote through a helper by its scheme': remote(() => 'touch://marker'),
  'a remote through a helper by its name': setting('remote.origin.vcs', () => 'ext'),
  'a remote whose host is an option': remote(({ marker }) => `ssh://-oProxyCommand=touch%20${marker}/x`),
  'a remote whose user is an option': remote(({ marker }) => `-oProxyCommand=touch ${marker}@example.invalid:x`),
  'a remote whose path is an option': remote(({ evil }) => `example.invalid:--upload-pack=${evil}`),
  'a second address to push to': setting('remote.origin.pushurl', ({ evil }) => `ext::${evil}`),
  'a program that serves what is fetched': program('remote.origin.uploadpack'),
  'a program that takes what is pushed': program('remote.origin.receivepack'),
  'a remote that is called like an option': renamed('--receive-pack=touch marker'),
  'a remote that is called like a short option': renamed('-x'),
  'a branch that is called like an option': {
    plant: ({ gitDir }) => {
      copyFileSync(join(gitDir, 'refs/heads/main'), join(gitDir, 'refs/heads/--upload-pack=x'));
      writeFileSync(join(gitDir, 'HEAD'), 'ref: refs/heads/--upload-pack=x\n');
    },
    names: /git-name: "refs\/heads\/--upload-pack=x"/,
    code: 1,
  },
  'a branch that follows an option': {
    plant: ({ git, evil }) => git('config', 'branch.main.remote', `--upload-pack=${evil}`),
    names: named('branch\\.main\\.remote'),
  },
  'a branch that follows an address': {
    plant: ({ git, evil }) => git('config', 'branch.main.remote', `ext::${evil}`),
    names: named('branch\\.main\\.remote'),
  },
  'a remote in an old file': {
    plant: (scene) => {
      scene.git('config', '--remove-section', 'remote.origin');
      scene.put(join(scene.gitDir, 'remotes/origin'), `URL: ext::${scene.evil}\nPull: refs/heads/main\n`);
    },
    names: named('remotes/origin'),
  },
  'a fetch into our own branch': setting('remote.origin.fetch', () => '+refs/heads/*:refs/heads/*'),
  'a program that signs': {
    plant: (scene) => {
      scene.set('commit.gpgSign', 'true');
      scene.set('gpg.program', scene.evil);
    },
    names: named('commit\\.gpgsign, gpg\\.program'),
  },
  'a program that signs by ssh': program('gpg.ssh.program'),
  'a program that has the passwords': program('credential.helper'),
  'a program that has the passwords of one address': program('credential.https://example.invalid.helper'),
  'a program that asks for passwords': program('core.askPass'),
  'an editor': program('core.editor'),
  'a pager': program('core.pager'),
  'a command under another name': setting('alias.status', ({ evil }) => `!${evil}`),
  'a work tree elsewhere': setting('core.worktree', ({ home }) => home),
  'an object that is fetched when it is missed': {
    plant: (scene) => {
      scene.set('extensions.partialClone', 'far');
      scene.set('remote.far.url', `ext::${scene.evil}`);
      scene.set('remote.far.promisor', 'true');
    },
    names: named('extensions\\.partialclone, remote\\.far\\.url, remote\\.far\\.promisor'),
  },
  'a list of bundles elsewhere': setting('fetch.bundleURI', ({ evil }) => `ext::${evil}`),
  'a repository within the repository': {
    plant: (scene) => scene.put(join(scene.gitDir, 'modules/x/config'), `[core]\n\tsshCommand = ${scene.evil}\n`),
    names: named('modules/x/config'),
  },
  submodules: setting('submodule.x.update', ({ evil }) => `!${evil}`),
  'old grafts': {
    plant: (scene) => scene.put(join(scene.gitDir, 'info/grafts'), `${'1'.repeat(40)}\n`),
    names: named('info/grafts'),
  },
  'a hook of the remote': inRemote(
    ({ bare, evil, put }) => put(join(bare, 'hooks/post-receive'), readFileSync(evil, 'utf8')),
    'origin: hooks/post-receive',
  ),
  'hooks of the remote in another folder': inRemote(({ bare, evil, put, git }) => {
    put(join(bare, 'x/update'), readFileSync(evil, 'utf8'));
    git('config', '--file', join(bare, 'config'), 'core.hooksPath', join(bare, 'x'));
  }, 'origin: core\\.hookspath'),
  'a program of the remote that names what it has': inRemote(({ bare, git, put, gitDir, evil }) => {
    put(join(bare, 'objects/info/alternates'), `${join(gitDir, 'objects')}\n`);
    git('config', '--file', join(bare, 'config'), 'core.alternateRefsCommand', evil);
  }, 'origin: objects/info/alternates, origin: core\\.alternaterefscommand'),
  'a program of the remote that packs': inRemote(
    ({ bare, git, evil }) => git('config', '--file', join(bare, 'config'), 'uploadpack.packObjectsHook', evil),
    'origin: uploadpack\\.packobjectshook',
  ),
  'a remote within the folder': {
    plant: (scene) => {
      cpSync(scene.bare, join(scene.gitDir, 'own.git'), { recursive: true });
      scene.put(join(scene.gitDir, 'own.git/hooks/pre-receive'), readFileSync(scene.evil, 'utf8'));
      scene.git('config', 'remote.origin.url', join('.git', 'own.git'));
    },
    names: named('origin: hooks/pre-receive'),
  },
};
