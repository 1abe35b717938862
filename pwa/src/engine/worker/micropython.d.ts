declare module "@micropython/micropython-webassembly-pyscript/micropython.mjs" {
  type Options = {
    readonly url: string;
    readonly heapsize: number;
    readonly stdout: (line: string) => void;
    readonly stderr: (line: string) => void;
    readonly linebuffer: true;
  };
  type MicroPython = {
    readonly FS: {
      mkdirTree(path: string): void;
      writeFile(path: string, data: Uint8Array): void;
    };
    pyimport(name: string): { readonly call: (name: string, args: string) => string };
  };
  export function loadMicroPython(options: Options): Promise<MicroPython>;
}
