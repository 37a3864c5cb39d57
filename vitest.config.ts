import { defineConfig } from 'vitest/config';

/** Where sound is played into Chromium's microphone as it happens. */
const live = [
  'tests/browser/{attention,echo,hidden,interruption,learning,microphone,spoken,talkKey,tree}.test.ts',
  'tests/records/verdict.test.ts',
];

const shared = {
  environment: 'node',
  // Decoding and rendering real sound takes seconds on a small machine.
  // What takes half a minute alone takes thrice that where the machine is slow and busy.
  testTimeout: 120_000,
  hookTimeout: 60_000,
  pool: 'forks',
} as const;

export default defineConfig({
  test: {
    projects: [
      {
        test: {
          ...shared,
          name: 'all',
          include: ['tests/**/*.test.ts'],
          exclude: live,
          maxWorkers: 2,
          sequence: { groupOrder: 0 },
        },
      },
      {
        // One at a time and after all others: a machine that is busy with other tests lets pieces of
        // the sound fall, and a word that was never heard says nothing about the page. For the same
        // reason a failed one is tried again: a fault of the page fails every time.
        test: {
          ...shared,
          name: 'live sound',
          include: live,
          maxWorkers: 1,
          sequence: { groupOrder: 1 },
          retry: 1,
        },
      },
    ],
  },
});
