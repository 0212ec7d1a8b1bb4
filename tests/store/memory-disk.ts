import { createHash } from 'node:crypto';
import { dirname } from 'node:path';
import type { Disk, Facts } from '../../src/store/disk.ts';

/* A disk in memory that distinguishes what was written from what would survive a power cut, and fails where a test tells it to. */

interface Node {
  readonly id: number;
  /** How often the content was changed. */
  version: number;
  data: Buffer;
  /** The content that would survive a power cut. */
  synced: Buffer;
}

type Call = Exclude<keyof Disk, 'look' | 'facts' | 'real'>;

/** Asked before each call that could fail. An error code makes the call fail; a number is how many bytes a write accepts. */
type Trouble = (call: Call, path: string, bytes: number) => string | number | undefined;

const failure = (code: string, syscall: string): Error =>
  Object.assign(new Error(`${code}: ${syscall}`), { code, syscall });

export class PowerCut extends Error {}

export interface MemoryDisk extends Disk {
  trouble: Trouble;
  /** How many calls there were so far. */
  readonly calls: number;
  /** Cuts the power before call number `at`. No call works after that. */
  cutAt(at: number): void;
  /**
   * The disk after the power is back. `kept` gives how much survives: the share of each file's unsynced bytes, 0 to 1, and
   * whether unsynced names do.
   */
  after(kept: { readonly bytes: number | (() => number); readonly names: boolean | (() => boolean) }): MemoryDisk;
  /** Moves a file or folder, as another program does: no trouble, and not counted as a call. */
  move(from: string, to: string): void;
  put(path: string, content: Uint8Array | string): void;
  bytes(path: string): Buffer;
  paths(): readonly string[];
  /**
   * Everything that a process could see of the disk from now on, and that a power cut would leave of it. Of files for which
   * `nameAlone` is true only the name counts.
   */
  picture(nameAlone: (path: string) => boolean): string;
}

interface Tree {
  readonly names: Map<string, Node | 'folder'>;
  readonly settled: Map<string, Node | 'folder'>;
}

const without = (names: Map<string, unknown>, path: string): void => {
  for (const name of names.keys()) if (name === path || name.startsWith(`${path}/`)) names.delete(name);
};

export const memoryDisk = (tree: Tree = { names: new Map(), settled: new Map() }): MemoryDisk => {
  const { names, settled } = tree;
  const handles = new Map<number, { readonly node: Node | 'folder'; readonly path: string; at: number }>();
  let nextId = 1 + Math.max(0, ...[...names.values()].map((node) => (node === 'folder' ? 0 : node.id)));
  let nextFd = 3;
  let calls = 0;
  let cut = Infinity;

  const before = (call: Call, path: string, bytes = 0): number => {
    calls += 1;
    if (calls > cut) throw new PowerCut(`at ${call} ${path}`);
    const trouble = disk.trouble(call, path, bytes);
    if (typeof trouble === 'string') throw failure(trouble, call);
    return trouble ?? bytes;
  };
  const handle = (fd: number) => {
    const found = handles.get(fd);
    if (found === undefined) throw failure('EBADF', 'fd');
    return found;
  };
  const nodeOf = (fd: number): Node => {
    const { node } = handle(fd);
    if (node === 'folder') throw failure('EISDIR', 'fd');
    return node;
  };
  /** What tells a folder from another that has its name later. */
  const folders = new Map<string, number>();
  let nextFolder = 1;
  const folderAt = (path: string): number => {
    const known = folders.get(path) ?? nextFolder++;
    folders.set(path, known);
    return known;
  };
  const movePath = (from: string, to: string): void => {
    const moved = [...names].filter(([name]) => name === from || name.startsWith(`${from}/`));
    for (const [name, content] of moved) {
      if (content === 'folder') folders.set(to + name.slice(from.length), folderAt(name));
      names.delete(name);
      folders.delete(name);
      names.set(to + name.slice(from.length), content);
      // the content of a folder moves with the folder, also in what would survive
      const inside = settled.get(name);
      if (name !== from && inside !== undefined) settled.set(to + name.slice(from.length), inside);
    }
  };
  const facts = (node: Node | 'folder', path: string): Facts =>
    node === 'folder'
      ? { kind: 'folder', size: 0, identity: `folder ${folderAt(path)}`, changed: '' }
      : { kind: 'file', size: node.data.length, identity: String(node.id), changed: String(node.version) };

  const disk: MemoryDisk = {
    trouble: () => undefined,
    get calls() {
      return calls;
    },
    cutAt: (at) => {
      cut = at;
    },
    open: (path, how) => {
      before('open', path);
      const folder = names.get(dirname(path));
      if (dirname(path) !== '/' && folder !== 'folder') throw failure('ENOENT', 'open');
      let node = names.get(path);
      if (node === undefined) {
        if (how === 'read' || how === 'read-linked' || how === 'extend') throw failure('ENOENT', 'open');
        node = { id: nextId, version: 0, data: Buffer.alloc(0), synced: Buffer.alloc(0) };
        nextId += 1;
        names.set(path, node);
      }
      if (how === 'fresh' && node !== 'folder') {
        node.data = Buffer.alloc(0);
        node.version += 1;
      }
      handles.set(nextFd, { node, path, at: 0 });
      nextFd += 1;
      return nextFd - 1;
    },
    facts: (fd) => facts(handle(fd).node, handle(fd).path),
    look: (path) => {
      const node = names.get(path);
      return node === undefined ? undefined : facts(node, path);
    },
    read: (fd, into, at) => {
      before('read', handle(fd).path);
      const open = handle(fd);
      const from = at ?? open.at;
      const count = nodeOf(fd).data.copy(into, 0, from, from + into.length);
      if (at === undefined) open.at += count;
      return count;
    },
    write: (fd, bytes) => {
      const node = nodeOf(fd);
      const allowed = Math.min(bytes.length, before('write', handle(fd).path, bytes.length));
      if (allowed === 0 && bytes.length > 0) throw failure('ENOSPC', 'write');
      node.data = Buffer.concat([node.data, bytes.subarray(0, allowed)]);
      node.version += 1;
      return allowed;
    },
    truncate: (fd, length) => {
      before('truncate', handle(fd).path);
      const node = nodeOf(fd);
      node.data = node.data.subarray(0, length);
      node.version += 1;
    },
    syncData: (fd) => {
      before('syncData', handle(fd).path);
      const node = nodeOf(fd);
      node.synced = Buffer.from(node.data);
    },
    close: (fd) => {
      before('close', handle(fd).path);
      handles.delete(fd);
    },
    syncFolder: (path) => {
      before('syncFolder', path);
      for (const name of settled.keys()) if (dirname(name) === path && !names.has(name)) without(settled, name);
      for (const [name, node] of names) if (dirname(name) === path) settled.set(name, node);
    },
    makeFolder: (path, _mode, within) => {
      before('makeFolder', path);
      if (names.get(path) === 'folder') return undefined;
      if (names.has(path)) throw failure('EEXIST', 'mkdir');
      if (within !== undefined && names.get(within) !== 'folder') throw failure('ENOENT', 'mkdir');
      let topmost = path;
      for (let above = path; above !== '/' && names.get(above) !== 'folder'; above = dirname(above)) {
        names.set(above, 'folder');
        topmost = above;
      }
      return topmost;
    },
    list: (path) => {
      before('list', path);
      return [...names.keys()]
        .filter((name) => dirname(name) === path && name !== path)
        .map((name) => name.slice(path.length + 1))
        .toSorted();
    },
    rename: (from, to) => {
      before('rename', from);
      const node = names.get(from);
      if (node === undefined) throw failure('ENOENT', 'rename');
      if (node === 'folder' && names.has(to)) throw failure('ENOTEMPTY', 'rename');
      movePath(from, to);
    },
    remove: (path) => {
      before('remove', path);
      without(names, path);
      without(folders, path);
    },
    real: (path) => path,
    after: ({ bytes, names: keepNames }) => {
      const kept = (node: Node | 'folder'): Node | 'folder' => {
        if (node === 'folder') return node;
        const grown = node.data.subarray(0, node.synced.length).equals(node.synced);
        const more = grown ? node.data.subarray(node.synced.length) : Buffer.alloc(0);
        const share = typeof bytes === 'number' ? bytes : bytes();
        const data = Buffer.concat([node.synced, more.subarray(0, Math.floor(more.length * share))]);
        return { id: node.id, version: node.version + 1, data, synced: data };
      };
      const keeps = typeof keepNames === 'boolean' ? (): boolean => keepNames : keepNames;
      const source = new Map<string, Node | 'folder'>();
      for (const name of new Set([...settled.keys(), ...names.keys()])) {
        // for each name separately: whether its last change survives
        const node = (keeps() ? names : settled).get(name);
        if (node !== undefined) source.set(name, node);
      }
      const isReachable = (name: string): boolean =>
        dirname(name) === '/' || (source.get(dirname(name)) === 'folder' && isReachable(dirname(name)));
      const reachable = [...source].filter(([name]) => isReachable(name));
      const survived = new Map(reachable.map(([name, node]) => [name, kept(node)] as const));
      return memoryDisk({ names: survived, settled: new Map(survived) });
    },
    move: movePath,
    put: (path, content) => {
      for (let above = dirname(path); above !== '/' && above !== '.'; above = dirname(above)) {
        names.set(above, 'folder');
        settled.set(above, 'folder');
      }
      const data = Buffer.from(content);
      const node = { id: nextId, version: 0, data, synced: data };
      nextId += 1;
      names.set(path, node);
      settled.set(path, node);
    },
    bytes: (path) => {
      const node = names.get(path);
      if (node === undefined || node === 'folder') throw failure('ENOENT', 'bytes');
      return node.data;
    },
    paths: () =>
      [...names]
        .filter(([, node]) => node !== 'folder')
        .map(([name]) => name)
        .toSorted(),
    picture: (nameAlone) => {
      const hash = createHash('sha256').update(`${nextId} ${nextFd} ${handles.size}`);
      for (const entries of [names, settled])
        for (const name of [...entries.keys()].toSorted()) {
          const node = entries.get(name);
          hash.update(`\n${name}`);
          if (node === undefined || node === 'folder' || nameAlone(name)) continue;
          hash.update(` ${node.id} ${node.version} ${node.data.length} `).update(node.data).update(node.synced);
        }
      return hash.digest('hex');
    },
  };
  return disk;
};
