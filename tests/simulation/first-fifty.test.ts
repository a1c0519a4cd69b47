import { testFiftySeeds } from './seeds.ts';

testFiftySeeds(0);
