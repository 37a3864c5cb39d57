/** How a key takes part in listening. */
export const keyUses = ['none', 'held', 'switched'] as const;
export type KeyUse = (typeof keyUses)[number];

/** The examiner's key; a foot switch counts as the key it sends. */
export interface TalkKey {
  readonly use: KeyUse;
  /** Its place on the keyboard (UI Events `code`), or an empty text before one is chosen. */
  readonly code: string;
  /** What stands on it. */
  readonly name: string;
}

/** Whether the key lets sound through now. */
export type KeyState = 'none' | 'up' | 'down';

/** A key as the browser tells of it (UI Events). */
export interface Press {
  readonly code: string;
  readonly key: string;
  /** Together with Ctrl, Alt or the system's key. */
  readonly chord: boolean;
}

/** Who has a use for a key already. */
export type KeyOwner = 'page' | 'reader' | 'browser' | 'unknown';

/**
 * Keys that are taken, by `code`. The page: WAI-ARIA Authoring Practices, keyboard interface (what
 * moves the focus, presses, and moves within a control). Screen readers: the usual reader keys
 * (Insert, Caps Lock, the number pad) and modifiers, of which Ctrl silences them. The browser: what
 * Chromium, Firefox and Safari do with function keys. From memory but for the first.
 */
const taken: Readonly<Record<Exclude<KeyOwner, 'unknown'>, RegExp>> = {
  page: /^(Tab|Enter|NumpadEnter|Space|Escape|Arrow\w+|Home|End|Backspace|Delete)$/,
  reader: /^(Insert|CapsLock|NumLock|Numpad\w+|(Shift|Control|Alt|Meta|OS)\w*|ContextMenu|Fn\w*)$/,
  browser: /^(F1|F3|F5|F6|F7|F10|F11|F12|PrintScreen|BrowserBack|BrowserForward)$/,
};

const owners = ['page', 'reader', 'browser'] as const;

/** Who needs this key, so that it cannot be the examiner's; nothing where it is free. */
export function ownerOf({ code, key, chord }: Press): KeyOwner | undefined {
  // Some switches send a key without a place.
  if (code === '' || key === 'Unidentified' || key === 'Process' || key === 'Dead')
    return 'unknown';
  return chord ? 'browser' : owners.find((owner) => taken[owner].test(code));
}

/** What a person calls a key. */
export const keyName = ({ code, key }: Press): string =>
  // "b" is B; a space or the like has its place's name.
  /^[\p{L}\p{N}\p{P}\p{S}]$/u.test(key)
    ? key.toUpperCase()
    : code.replace(/(?<=[a-z])(?=[A-Z])/g, ' ');

/** Whether the key writes: in a text field it does that and nothing else. */
export const writes = ({ key }: Pick<Press, 'key'>): boolean => [...key].length === 1;
