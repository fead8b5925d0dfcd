/** The page begins here. */
import { render } from "preact";
import { config } from "zod";
import "./style/tokens.css";
import "./style/base.css";
import "./style/shell.css";
import "./style/rows.css";
import "./style/screens.css";
import "./style/write.css";
import "./style/setup.css";
