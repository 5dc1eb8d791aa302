fn main(){divan::main();}
