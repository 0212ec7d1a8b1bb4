declare module '*/yoga-wasm-base64-esm.js' {
  const loadYoga: (engine: object) => Promise<object>;
  export default loadYoga;
}

/** As much of it as is used: the types of Node leave it out. */
declare namespace WebAssembly {
  const Module: new (bytes: Uint8Array) => object;
  const Instance: new (module: object, imports: object) => { readonly exports: object };
}
