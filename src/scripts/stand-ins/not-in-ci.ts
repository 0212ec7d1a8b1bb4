/** Replaces is-in-ci: ink must redraw a real terminal after a resize, even with CI in the environment. */
export default false;
