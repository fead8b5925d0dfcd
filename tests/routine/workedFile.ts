/** The example of the routine file that the format was described with. */
export const WORKED_FILE = `{
  "format": "countercut-routine",
  "version": 1,
  "title": "Night Ferry",
  "timeLimit": 180,
  "rig": { "platter": 33, "recordHand": "right", "turntable": "left", "reversedFader": false,
    "samples": [ { "id": "vowel", "builtIn": "vowel", "repeatsEvery": 360, "cues": [ { "id": "open", "at": 30 } ] } ] },
  "patterns": [
    {
      "id": "swell",
      "name": "Swell",
      "record": { "step": "1/16", "strokes": [
        { "move": "forward" }, { "move": "forward" }, { "move": "back", "travel": 90 } ] },
      "fader": { "step": "1/16", "cells": [
        { "fader": "click" }, { "fader": "click" }, { "fader": "open" }, { "fader": "click" }, { "fader": "click" } ] }
    }
  ],
  "beats": [
    { "id": "engine-room", "name": "Engine room", "step": "1/16", "steps": 16,
      "hits": [ { "key": 36, "at": [0, 7, 10] }, { "key": 38, "at": [4, 12] }, { "key": 42, "at": [0, 2, 4, 6, 8, 10, 12, 14] } ] }
  ],
  "sections": [
    { "id": "cast-off", "name": "Cast off", "bars": 4, "meter": "4/4", "tempo": 93, "beat": "engine-room",
      "swing": { "of": "1/16", "beat": 57, "hands": 57 },
      "placements": [ { "pattern": "swell", "bar": 1 }, { "words": "Let the horn ring out", "bar": 4 } ] },
    { "id": "open-water", "name": "Open water", "bars": 8, "meter": "4/4", "tempo": { "from": 93, "to": 97 }, "pitch": 2, "beat": "engine-room", "beatContinues": true, "beatRests": [8],
      "placements": [
        { "pattern": "swell", "bar": 1, "at": "3/4", "lasts": { "cycles": 4 } },
        { "pattern": "swell", "bar": 6, "at": "1/8", "lasts": { "bars": 2 }, "recordFrom": 1, "faderFrom": 2, "recordAt": "open" } ] }
  ]
}
`;
