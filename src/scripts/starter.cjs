#!/usr/bin/env node
// The file that is started; the build puts the name of the program in. It runs a part of the program with V8's code cache, and another
// part when that is first asked for. Without the caches, or with those of another node, everything works the same, only later.
const { readFileSync } = require('node:fs');
const { join } = require('node:path');
const { Script } = require('node:vm');

const read = (file) => {
  try {
    return readFileSync(file);
  } catch {
    return undefined;
  }
};

const run = (part) => {
  const filename = join(__dirname, `__PROGRAM__.${part}.js`);
  const cachedData = read(join(__dirname, `__PROGRAM__.${part}.cache`));
  const script = new Script(readFileSync(filename, 'latin1'), { filename, cachedData });
  const its = {};
  script.runInThisContext()(its, require, module, __filename, __dirname, moduleIn);
  return its;
};

const parts = {};
const moduleIn = (part, name) => (parts[part] ??= run(part))[name]();

run('front');
