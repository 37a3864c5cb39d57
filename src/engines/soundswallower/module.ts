import createModule from 'soundswallower';

/** The compiled engine, which prints nothing. */
export const quietModule = (): Promise<object> =>
  createModule({ print: () => {}, printErr: () => {} }) as unknown as Promise<object>;
