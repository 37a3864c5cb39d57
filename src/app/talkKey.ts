import { computed, effect, type ReadonlySignal, signal } from '@preact/signals';
import { type KeyState, type Press, type Settings, writes } from '../ui/index.ts';

export interface KeySwitchParts {
  readonly settings: ReadonlySignal<Settings>;
  /** Lets sound through, or no more. */
  readonly gate: (open: boolean) => void;
  /** The examiner wants to speak: the program falls silent. */
  readonly pressed: () => void;
}

/** The key, foot switch or button with which the examiner says when to listen. */
export interface KeySwitch {
  readonly state: ReadonlySignal<KeyState>;
  /**
   * @param inText whether the focus is in a text field, where a key that writes is no switch
   * @returns whether it was the examiner's key, of which the page does nothing else
   */
  down(press: Press & { readonly repeat: boolean }, inText: boolean): boolean;
  up(press: Pick<Press, 'code'>): boolean;
  /** Keys no longer reach the page: one that is held counts as let go. */
  away(): void;
  /** The same by voice or pointer: from shut to open and back. */
  turn(): void;
}

export function createKeySwitch({ settings, gate, pressed }: KeySwitchParts): KeySwitch {
  const use = computed(() => settings.value.key.use);
  const open = signal(false);
  const state = computed<KeyState>(() =>
    use.value === 'none' ? 'none' : open.value ? 'down' : 'up',
  );
  let held = false;

  // Another use, or another key, begins with the key up.
  const chosen = computed(() => `${use.value} ${settings.value.key.code}`);
  effect(() => {
    void chosen.value;
    held = false;
    open.value = false;
  });
  effect(() => gate(state.value !== 'up'));

  const set = (now: boolean): void => {
    if (now && !open.peek()) pressed();
    open.value = now;
  };
  const release = (): void => {
    held = false;
    if (use.peek() === 'held') set(false);
  };

  return {
    state,
    down(press, inText) {
      const { key } = settings.peek();
      if (key.use === 'none' || press.code !== key.code || press.chord) return false;
      if (!held && inText && writes(press)) return false;
      // A key that stays down repeats itself.
      if (held || press.repeat) return true;
      held = true;
      set(key.use === 'held' || !open.peek());
      return true;
    },
    up({ code }) {
      if (!held || code !== settings.peek().key.code) return false;
      release();
      return true;
    },
    away() {
      if (held) release();
    },
    turn() {
      if (use.peek() !== 'none') set(!open.peek());
    },
  };
}
