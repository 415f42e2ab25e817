import "./styles/tokens.css";
import "./styles/page.css";
import "./styles/line.css";
import "./styles/forms.css";
import "./styles/tables.css";
import "./styles/splice.css";
import "./styles/tell.css";
import "./styles/trace.css";
import "./styles/rig.css";
import "./styles/plan.css";
import "./styles/fold.css";
import { render } from "preact";
import { App } from "./app.tsx";

const place = document.getElementById("app");
if (place !== null) render(<App />, place);
