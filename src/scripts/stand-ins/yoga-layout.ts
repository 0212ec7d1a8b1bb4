import loadYoga from '../../../node_modules/yoga-layout/dist/binaries/yoga-wasm-base64-esm.js';
import wrapAssembly from '../../../node_modules/yoga-layout/dist/src/wrapAssembly.js';
import bytes from 'yoga-layout.wasm';

/** The layout engine, made at once from bytes in the bundle. */
const engine = {
  instantiateWasm(imports: object, done: (instance: object) => void): object {
    const instance = new WebAssembly.Instance(new WebAssembly.Module(bytes), imports);
    done(instance);
    return instance.exports;
  },
};
void loadYoga(engine);

/** Replaces yoga-layout, which awaits its engine while it is loaded: a script with a code cache cannot await there. */
export default wrapAssembly(engine);
