// Style sheets are taken up by the bundler; nothing is imported from them.
declare module "*.css";
