export { createMemoryStore, type MemoryStoreOptions } from './memory';
export * from './types';
