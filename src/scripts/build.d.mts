export function bundle(entry: string, outfile: string): Promise<void>;
export function buildProgram(entry: string, folder: string): Promise<void>;
