export * from './check.ts';
export * from './event.ts';
export * from './finding.ts';
export * from './record.ts';
export * from './scale.ts';
export * from './side.ts';
export * from './site.ts';
export * from './vocabulary.ts';
