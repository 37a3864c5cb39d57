/** Plays a WAV file, base64, until its end. Rejects for what the browser cannot play. */
export function playWav(wav: string): Promise<void> {
  const bytes = Uint8Array.from(atob(wav), (c) => c.charCodeAt(0));
  const address = URL.createObjectURL(new Blob([bytes], { type: 'audio/wav' }));
  const sound = new Audio(address);
  return new Promise<void>((resolve, reject) => {
    sound.onended = () => resolve();
    sound.onerror = () => reject(new Error('the sound cannot be played'));
    sound.play().catch(reject);
  }).finally(() => URL.revokeObjectURL(address));
}
