import { testHundredSeeds } from './seeds.ts';

testHundredSeeds(1);
