/** A program that ran to its end: what it returned, wrote to files, and printed. */
export interface Run {
  /** Exit status; 0 is success. */
  readonly status: number;
  readonly files: ReadonlyMap<string, Uint8Array<ArrayBuffer>>;
  readonly printed: string;
}

interface OpenFile {
  readonly name: string;
  readonly chunks: Uint8Array<ArrayBuffer>[];
  read: number;
}

/** How a program ends itself: thrown through its own frames, since it must not return. */
class Exit {
  readonly status: number;
  constructor(status: number) {
    this.status = status;
  }
}

const ok = 0;
const badDescriptor = 8;
const cannotSeek = 70;
/** 0 to 2 are the standard streams, 3 the one folder there is, files come after. */
const folder = 3;

/**
 * Runs a command-line WebAssembly program (WASI preview 1) over files in memory. It sees one folder,
 * no environment, and a clock that stands still, so the same arguments give the same bytes.
 *
 * Only the calls that a program needs that reads and writes files from front to back are here; the
 * numbers are those of the WASI preview 1 specification.
 *
 * @throws WebAssembly.RuntimeError when the program traps
 */
export function runProgram(
  program: WebAssembly.Module,
  args: readonly string[],
  inputs: ReadonlyMap<string, Uint8Array<ArrayBuffer>> = new Map(),
): Run {
  const argv = args.map((arg) => new TextEncoder().encode(`${arg}\0`));
  const open = new Map<number, OpenFile>();
  const written = new Map<string, OpenFile>();
  const decoder = new TextDecoder();
  let printed = '';
  let next = folder + 1;

  // The memory's buffer is replaced whenever it grows, so it is looked up anew each time.
  let memory: WebAssembly.Memory | undefined;
  const bytes = (at = 0, length?: number): Uint8Array<ArrayBuffer> =>
    new Uint8Array(memory?.buffer as ArrayBuffer, at, length);
  const view = (): DataView => new DataView(memory?.buffer as ArrayBuffer);
  const put = (at: number, value: number): number => {
    view().setUint32(at, value, true);
    return ok;
  };
  /** The pieces of memory that a read or write names. */
  const pieces = (list: number, count: number): readonly Uint8Array<ArrayBuffer>[] =>
    Array.from({ length: count }, (_, i) =>
      bytes(view().getUint32(list + 8 * i, true), view().getUint32(list + 8 * i + 4, true)),
    );

  const calls = {
    args_sizes_get(count: number, size: number): number {
      put(count, argv.length);
      return put(
        size,
        argv.reduce((sum, arg) => sum + arg.length, 0),
      );
    },
    args_get(pointers: number, text: number): number {
      let at = text;
      for (const [i, arg] of argv.entries()) {
        put(pointers + 4 * i, at);
        bytes().set(arg, at);
        at += arg.length;
      }
      return ok;
    },
    clock_time_get(_clock: number, _precision: bigint, time: number): number {
      view().setBigUint64(time, 0n, true);
      return ok;
    },
    fd_close: (fd: number): number => (open.delete(fd) ? ok : badDescriptor),
    fd_fdstat_get(fd: number, stat: number): number {
      const [character, directory, regular] = [2, 3, 4];
      bytes(stat, 24).fill(0);
      view().setUint8(stat, fd < folder ? character : fd === folder ? directory : regular);
      bytes(stat + 8, 16).fill(0xff); // every right
      return ok;
    },
    fd_fdstat_set_flags: (): number => ok,
    fd_prestat_get(fd: number, stat: number): number {
      if (fd !== folder) return badDescriptor;
      put(stat, 0); // a directory
      return put(stat + 4, 1); // whose name has one letter
    },
    fd_prestat_dir_name(_fd: number, name: number): number {
      bytes(name, 1).set([0x2f]); // "/"
      return ok;
    },
    fd_read(fd: number, list: number, count: number, read: number): number {
      const file = open.get(fd);
      const content = file === undefined ? undefined : inputs.get(file.name);
      let total = 0;
      if (file !== undefined && content !== undefined) {
        for (const piece of pieces(list, count)) {
          const part = content.subarray(file.read, file.read + piece.length);
          piece.set(part);
          file.read += part.length;
          total += part.length;
        }
      }
      return put(read, total);
    },
    fd_seek: (): number => cannotSeek,
    fd_write(fd: number, list: number, count: number, wrote: number): number {
      const file = open.get(fd);
      let total = 0;
      for (const piece of pieces(list, count)) {
        if (file === undefined) printed += decoder.decode(piece);
        else file.chunks.push(piece.slice());
        total += piece.length;
      }
      return put(wrote, total);
    },
    path_open(
      _folder: number,
      _lookup: number,
      path: number,
      length: number,
      ...rest: readonly (number | bigint)[]
    ): number {
      const name = decoder.decode(bytes(path, length));
      const file: OpenFile = { name, chunks: [], read: 0 };
      if (!inputs.has(name)) written.set(name, file);
      open.set(next, file);
      return put(Number(rest.at(-1)), next++);
    },
    proc_exit(status: number): never {
      throw new Exit(status);
    },
  };

  const instance = new WebAssembly.Instance(program, { wasi_snapshot_preview1: calls });
  const { memory: exported, _start: start } = instance.exports;
  memory = exported as WebAssembly.Memory;
  let status = 0;
  try {
    (start as () => void)();
  } catch (thrown) {
    if (!(thrown instanceof Exit)) throw thrown;
    status = thrown.status;
  }
  const files = new Map([...written].map(([name, file]) => [name, joined(file.chunks)] as const));
  return { status, files, printed };
}

function joined(chunks: readonly Uint8Array<ArrayBuffer>[]): Uint8Array<ArrayBuffer> {
  const whole = new Uint8Array(chunks.reduce((sum, chunk) => sum + chunk.length, 0));
  let at = 0;
  for (const chunk of chunks) {
    whole.set(chunk, at);
    at += chunk.length;
  }
  return whole;
}
