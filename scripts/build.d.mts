export function bundle(entry: string, outfile: string): Promise<void>;
