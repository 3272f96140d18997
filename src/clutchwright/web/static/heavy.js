// The drawing of the mechanism moves.
import { mount } from "./mechanism.js";

mount(document.getElementById("mechanism"), JSON.parse(document.getElementById("mechanism-data").textContent));
document.documentElement.dataset.ready = "yes";
