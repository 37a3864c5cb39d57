import { PortError } from '../../ports.ts';
import { engineMessages } from '../messages.ts';

/** `product.wat`, compiled with wabt's `wat2wasm`. */
const compiled =
  'AGFzbQEAAAABDAFgCH9/f39/f39/AAITAQdwbGVzc29yBm1lbW9yeQIAAQMCAQAHDgEKYWRkUHJvZHVjdAAACuQD' +
  'AeEDAgx/C3sgBUECdCETAkADQCADQQBMDQFBACEIA0AgACEKIAogBmohCyALIAZqIQwgDCAGaiENIAEgCEECdGoh' +
  'DiAOIAdqIQ8gDyAHaiEQIBAgB2ohESACIAhBAnRqIRIgDv0ABAAhFyAO/QAEECEYIA/9AAQAIRkgD/0ABBAhGiAQ' +
  '/QAEACEbIBD9AAQQIRwgEf0ABAAhHSAR/QAEECEeIAQhCQNAIBL9AAQAIRQgEv0ABBAhFSAK/QkCACEWIBcgFiAU' +
  '/eYB/eQBIRcgGCAWIBX95gH95AEhGCAL/QkCACEWIBkgFiAU/eYB/eQBIRkgGiAWIBX95gH95AEhGiAM/QkCACEW' +
  'IBsgFiAU/eYB/eQBIRsgHCAWIBX95gH95AEhHCAN/QkCACEWIB0gFiAU/eYB/eQBIR0gHiAWIBX95gH95AEhHiAK' +
  'QQRqIQogC0EEaiELIAxBBGohDCANQQRqIQ0gEiATaiESIAlBAWsiCQ0ACyAOIBf9CwQAIA4gGP0LBBAgDyAZ/QsE' +
  'ACAPIBr9CwQQIBAgG/0LBAAgECAc/QsEECARIB39CwQAIBEgHv0LBBAgCEEIaiEIIAggBUgNAAsgACAGQQJ0aiEA' +
  'IAEgB0ECdGohASADQQRrIQMMAAsLCw==';

type AddProduct = (
  x: number,
  y: number,
  w: number,
  m: number,
  k: number,
  n: number,
  xStride: number,
  yStride: number,
) => void;

/** Numbers in the memory that the compiled product works on. */
export interface Block {
  /** Where it begins, in bytes. */
  readonly at: number;
  readonly data: Float32Array;
}

/** What changes while the network runs. */
export interface Changing {
  /** Gives what puts it back as it is now. */
  keep(): () => void;
}

/** Memory of a fixed size, given out and never taken back, with a matrix product over it. */
export class Workshop {
  readonly #changing: Changing[] = [];
  readonly #memory: WebAssembly.Memory;
  readonly #addProduct: AddProduct;
  #used = 64;

  /** @throws PortError `unsupported` where WebAssembly or its vectors are missing */
  constructor(bytes: number) {
    try {
      const pages = Math.ceil(bytes / 65_536) + 1;
      this.#memory = new WebAssembly.Memory({ initial: pages, maximum: pages });
      const code = Uint8Array.from(atob(compiled), (letter) => letter.charCodeAt(0));
      const {
        exports: { addProduct },
      } = new WebAssembly.Instance(new WebAssembly.Module(code), {
        plessor: { memory: this.#memory },
      });
      this.#addProduct = addProduct as AddProduct;
    } catch (cause) {
      throw new PortError('unsupported', engineMessages.noVectors, {
        cause,
      });
    }
  }

  take(numbers: number): Block {
    const at = this.#used;
    this.#used += Math.ceil(numbers / 16) * 64;
    return { at, data: new Float32Array(this.#memory.buffer, at, numbers) };
  }

  /** To be told of all that changes in this memory, for `keep`. */
  changes(part: Changing): void {
    this.#changing.push(part);
  }

  /** Gives what puts everything that changes back as it is now. */
  keep(): () => void {
    const back = this.#changing.map((part) => part.keep());
    return () => {
      for (const put of back) put();
    };
  }

  /** y[rows x n] += x[rows x k] . w[k x n]; up to three rows beyond are spoilt, n is a multiple of 8. */
  addProduct(
    rows: number,
    x: { readonly at: number; readonly stride: number },
    w: { readonly at: number; readonly k: number; readonly n: number },
    y: { readonly at: number; readonly stride: number },
  ): void {
    if (rows > 0) {
      this.#addProduct(x.at, y.at, w.at, rows, w.k, w.n, x.stride * 4, y.stride * 4);
    }
  }
}
