/**
 * Runs on the audio thread: hands what the microphone gives to the page, 30 ms at a time, each with
 * the frame of the sound system's clock at which it begins, so that a gap shows.
 */

// The compiler's library of the audio thread is no part of the page's.
declare class AudioWorkletProcessor {
  readonly port: MessagePort;
}
declare function registerProcessor(name: string, processor: unknown): void;
declare const sampleRate: number;
declare const currentFrame: number;

class Capture extends AudioWorkletProcessor {
  readonly #size = Math.round(sampleRate * 0.03);
  // Filled again and again: the page gets a copy. Buffers given away, 64 MB of them in a quarter of an
  // hour, would be for this thread to clear up after, while no sound may wait.
  readonly #piece = new Float32Array(this.#size);
  #filled = 0;
  #at = 0;

  process([channels]: readonly (readonly Float32Array[])[]): boolean {
    const sound = channels?.[0];
    if (sound === undefined) return true;
    for (let at = 0; at < sound.length; ) {
      if (this.#filled === 0) this.#at = currentFrame + at;
      const part = sound.subarray(at, at + this.#size - this.#filled);
      this.#piece.set(part, this.#filled);
      this.#filled += part.length;
      at += part.length;
      if (this.#filled === this.#size) {
        this.port.postMessage({ at: this.#at, sound: this.#piece });
        this.#filled = 0;
      }
    }
    return true;
  }
}

registerProcessor('capture', Capture);
