/**
 * The engine's room for fresh objects begins with a megabyte and would double to 32, which it then keeps: by far more
 * than edits need, and no faster for them. It can only be told so before it has grown: this comes before what is large.
 */
import { setFlagsFromString } from "node:v8";

setFlagsFromString("--semi-space-growth-factor=1");
