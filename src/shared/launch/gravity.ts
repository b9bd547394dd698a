export { STANDARD_GRAVITY } from "../quantity/gravity.ts";
